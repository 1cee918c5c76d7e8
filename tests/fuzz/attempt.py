"""One input given to the program, and what must be true of the outcome.

Either a section comes out and its checks say that it is valid, or one sentence says what is wrong.
No other exception, no other kind of error, nothing printed. Some of the valid ones are solved and
drawn through the commands a person types.
"""

from __future__ import annotations

import contextlib
import io
import json
import math
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from soapfilm.cli.main import main
from soapfilm.geometry.checks.contact_only import contact_only_parts
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file import load_section
from soapfilm.geometry.section_file.text import parsed
from soapfilm.geometry.units import Units
from soapfilm.solver.section.stress.case_file import load_cases
from soapfilm.solver.study.derivative.file_number import dimensions_of

from .keyed_texts import COMPANIONS

VALID, REFUSED, UNSOLVED = "valid", "refused", "not solved"
_NO_FONT = "soapfilm: note: no font on this machine"
#: Longest sentence about what is wrong.
_SENTENCE = 1500


@dataclass(frozen=True, slots=True)
class Outcome:
    """`what`: one of `VALID`, `REFUSED`, `UNSOLVED`; the message where there is one."""

    what: str
    message: str = ""


def attempt(
    data: bytes, kind: str, unit: str | None, *, commands: bool = False, turn: int | None = None
) -> Outcome:
    """Read and check one input, from a file of its kind.

    Parameters
    ----------
    data : bytes
    kind : str
        Suffix, or ".cases".
    unit : str or None
        Given for drawings that may name none.
    commands : bool
        Solve and draw what is valid by the commands, too.
    turn : int, optional
        And give it to one of the other commands that read such files, which take turns.

    Raises
    ------
    AssertionError
        If the outcome is not one of those allowed; any other exception is a crash.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("a.toml" if kind == ".cases" else f"a{kind}")
        path.write_bytes(data)
        for name, text in COMPANIONS.items() if kind == ".toml" else ():
            path.with_name(name).write_text(text, "utf-8")
        try:
            if kind == ".cases":
                cases = load_cases(str(path), Units("mm"))
                assert all(math.isfinite(v) for c in cases for v in (c.axial_force, c.torque))
                if commands and turn is not None:
                    return given_to(("stress", "HEB200", "--cases", str(path), "--json"))
                return Outcome(VALID)
            section = load_section(path, unit)
            for body in contact_only_parts(section):
                check(body)
            assert all(region.area() > 0 for region in section.regions)
        except InputError as error:
            return Outcome(REFUSED, one_sentence(str(error)))
        found = solved(path, unit) if commands else Outcome(VALID)
        if commands and turn is not None and found.what == VALID:
            found = given_to(_other_command(turn, path, unit))
        return found


def _other_command(turn: int, path: Path, unit: str | None) -> tuple[str, ...]:
    """What else a person may type about a section, roughly."""
    file = str(path)
    rough = ("--accuracy", "0.02", *(("--unit", unit) if unit else ()))
    steel = ("--material", "S355")
    page, figure, fields = (str(path.with_name(f"of.{end}")) for end in ("html", "png", "vtu"))
    longer = ("--longest", "20 m")
    return (
        ("stress", file, *rough, "V_y = 12 kN", "T = 3 kN*m", "--json", "--figure", figure),
        ("pays", file, *rough, "--json", "--figure", figure),
        ("report", file, *rough, "M_x = 9 kN*m", "T_w = 1 kN*m", "-o", page),
        ("compare", file, "HEB200", *rough, *steel, "--equal", "area", "--json"),
        ("stress", file, *rough, "M_y = 9 kN*m", "B = 1 kN*m^2", "--export", fields),
        ("buckle", file, *rough[2:], *steel, "N = -1 kN", *longer, "--json"),
        ("pays", file, *rough, *_number(path, turn), "V_y = 12 kN", "T = 3 kN*m", "--json"),
    )[turn % 7]


def _number(path: Path, turn: int) -> tuple[str, ...]:
    """The address of a number of a section file, if it has one."""
    if path.suffix != ".toml":
        return ()
    tables = parsed(path.read_text("utf-8"))
    names = [one.name for one in dimensions_of(tables)]
    names += ["outline.1.points.1.x"] if "outline" in tables else []
    return (names[turn % len(names)],) if names else ()


def given_to(words: Sequence[str]) -> Outcome:
    """A command that may refuse, in one line: what came of it."""
    code, out, err = run(*words)
    if out and "--json" in words:
        finite(out)
    if code and not out:
        lines = [line for line in err.splitlines() if line.startswith("soapfilm")]
        assert len(lines) == 1, err
        assert code in (1, 2), (code, err)
        what = f"{words[0]}: {lines[0]}"
        return Outcome(VALID if code == 2 else UNSOLVED, one_sentence(what))
    return Outcome(VALID)


def finite(text: str) -> Any:
    """A record whose numbers are numbers: JSON knows no nan and no infinity."""

    def no_number(word: str) -> None:
        raise AssertionError(f"{word} in a record")

    return json.loads(text, parse_constant=no_number)


def solved(path: Path, unit: str | None) -> Outcome:
    """Solve and draw a valid file as a person would."""
    asked = ["--unit", unit] if unit else []
    figure = path.with_name("figure.svg")
    outline = path.with_name("outline.dxf")
    written = ["--figure", str(figure), "--outline", str(outline)]
    code, out, err = run("draw", str(path), *asked, *written)
    assert (code, err) == (0, ""), err
    assert figure.stat().st_size > 1000
    code, out, err = run("section", str(path), *asked, "--accuracy", "0.02", "--json")
    if code == 1 and not out:  # valid, and yet the method did not get there: allowed, and counted
        return Outcome(UNSOLVED, one_sentence(err))
    record = finite(out)
    bodies = record.get("bodies", [record])  # parts in contact only have a solver each
    missed = not all(body["solver"]["reached"] for body in bodies)
    assert code == missed, err
    assert missed or not err, err
    j = record["torsion_constant"]
    assert 0 < j["lower"] <= j["upper"] < math.inf, j
    assert j["upper"] <= j["lower"] * 1.0201 or missed
    return Outcome(VALID)


def run(*words: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of a command, without the note that this
    machine has no font for a name."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(list(words))
    message = err.getvalue()
    assert "unexpected" not in message, message
    assert "Traceback" not in message, message
    assert "Warning" not in message, message
    lines = message.splitlines(keepends=True)
    return code, out.getvalue(), "".join(line for line in lines if _NO_FONT not in line)


def one_sentence(message: str) -> str:
    """The message, which must be one line of some length that says more than a type."""
    text = message.rstrip("\n")
    assert 10 < len(text) < _SENTENCE, text
    assert "\n" not in text, text
    return text
