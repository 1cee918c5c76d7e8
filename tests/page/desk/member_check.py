"""What the desk shows of a member held against `soapfilm member` for the same text."""

from __future__ import annotations

import contextlib
import io
import json
import math
import re
import shutil
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import tomlkit

from .conftest import EXAMPLES

LESSONS = EXAMPLES.parents[1] / "desk" / "lessons"
#: Numbers on screen have 32 bits or four digits; a first look is good to this share of the twist.
_BITS, _DIGITS, FIRST_LOOK = 2e-6, 6e-4, 2e-2
#: Radians of each unit that an angle is shown in.
_ANGLES = {"°": math.pi / 180, "deg": math.pi / 180, "rad": 1.0, "mrad": 1e-3}


def lay_members(folder: Path, names: tuple[str, ...]) -> None:
    """Files of members, and the sections beside them that they name."""
    for file in EXAMPLES.glob("*.toml"):
        if file.stem in names or re.search(r'^file = "', file.read_text("utf-8"), re.M) is None:
            shutil.copy(file, folder)
    for name in names:
        if (LESSONS / f"{name}.toml").exists():
            shutil.copy(LESSONS / f"{name}.toml", folder)


def member_record(text: str, deforming: bool) -> dict[str, Any]:
    """The command's record of a member's text by either theory.

    Raises
    ------
    ValueError
        With the command's words, where it refuses.
    """
    from soapfilm.cli.main import main as command

    if not deforming:
        table = tomlkit.parse(text)
        table.setdefault("analysis", {})["sections"] = "keep their shape"
        text = tomlkit.dumps(table)
    with tempfile.TemporaryDirectory() as name:
        lay_members(Path(name), ())
        path = Path(name) / "the-member.toml"
        path.write_text(text, "utf-8")
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                code = command(["member", str(path), "--json", "--no-remedies"])
            except SystemExit as end:
                code = end.code if isinstance(end.code, int) else 1
    if code:
        raise ValueError(err.getvalue().strip()[:300])
    return dict(json.loads(out.getvalue()))


def comparable(record: dict[str, Any]) -> bool:
    """Whether a record is of one member; that of one built in stages has another form."""
    return str(record["format"]).startswith("soapfilm member")


def faults_of(shown: dict[str, Any], record: dict[str, Any]) -> list[str]:
    """What is shown and is not the command's: twist along the member under every combination, and
    the largest twist and torque in words."""
    names = [c["name"] for c in record["combinations"]]
    if names != shown["names"]:
        return [f"combinations {shown['names']}, by the command {names}"]
    unit = _ANGLES[shown["twist"]["unit"]]
    z = np.array(shown["z"])
    values = np.array(shown["twist"]["values"]).reshape(len(names), len(z)) * unit
    place, twist = _twist(record)
    scale = float(z[-1]) / record["length"]
    top = float(np.abs(twist).max())
    slack = FIRST_LOOK if shown["stage"] == "coarse" and record["deforming"] else _BITS
    if not record["deforming"]:
        slack = max(slack, 1e-4)  # stations of the record may stand on either side of a jump
    faults = []
    for c, name in enumerate(names):
        off = np.abs(np.interp(place * scale, z, values[c]) - twist[c])
        worst = int(off.argmax())
        # between stations that are both exact
        own = np.isclose(place[worst] * scale, z, rtol=1e-6, atol=1e-6 * z[-1]).any()
        if off[worst] > (slack if own else max(slack, 2e-3)) * top:
            faults.append(
                f"{shown['stage']} twist of {name} off by {off[worst]:.3g} of {top:.6g} rad "
                f"at {place[worst]:.6g}"
            )
    return faults + _worded(shown, record, top)


def _twist(record: dict[str, Any]) -> tuple[Any, Any]:
    """Stations, and the twist (rad) of every combination there."""
    names = [c["name"] for c in record["combinations"]]
    stations = (record["deforming"] or record)["stations"]
    tables = stations.get("combinations", stations)
    return np.array(stations["z"]), np.array([tables[name]["phi"] for name in names])


def _worded(shown: dict[str, Any], record: dict[str, Any], top: float) -> list[str]:
    """Facts beside the drawing; twist that waits for the deforming theory is told by a dot."""
    faults = []
    kilo = {"kN·m": 1e3, "N·m": 1.0, "kN·m²": 1e3, "kip·in": 112.984829, "kip·ft": 1355.81795}
    unit = record["units"]["moment"]
    own = {"N*mm": 1e-3, "N*m": 1.0, "kN*m": 1e3}.get(unit)
    rows = {"φ": "phi", "T": "T"}
    for symbol, _, text, shown_unit in shown["facts"]:
        if symbol not in rows or text == "…":
            continue
        told = float(re.sub(r"[^0-9.e+-]", "", text.replace("−", "-")))
        if symbol == "φ":
            told, found = told * _ANGLES[shown_unit], top
            if record["deforming"]:
                found = max(c["twist"]["deforming"] for c in record["deforming"]["combinations"])
        else:
            if own is None or shown_unit not in kilo:
                continue
            told *= kilo[shown_unit]
            found = own * max(abs(c["largest"]["T"]["value"]) for c in record["combinations"])
        if abs(abs(told) - found) > _DIGITS * max(found, abs(told)) and max(found, told) > 1e-9:
            faults.append(f"{shown['stage']} {symbol} told as {text} {shown_unit}, found {found!r}")
    return faults
