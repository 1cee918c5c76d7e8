"""One member, joint, study or size file given to the program, and what must be true of the outcome.

What is read is read whole, sections solved; some of what is valid is solved, tabled and drawn by
the commands a person types. Either numbers come out that are finite and in balance, or one line.
"""

from __future__ import annotations

import csv
import math
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from soapfilm.cli.demo import bundled
from soapfilm.geometry.errors import InputError, SolveError
from soapfilm.solver.joint.joint_file import load_joints
from soapfilm.solver.member.file import load_member
from soapfilm.solver.study.file.size_file import load_sizing
from soapfilm.solver.study.file.study_file import load_study

from .attempt import REFUSED, UNSOLVED, VALID, Outcome, finite, given_to, one_sentence, run
from .keyed_texts import COMPANIONS

#: Loads and reactions cancel to this share of their size, by either theory.
BALANCE = 1e-6
#: Rows of a study that is solved.
_ROWS = 4


def attempt_file(
    data: bytes, kind: str, *, commands: bool = False, turn: int | None = None
) -> Outcome:
    """Read one file of a kind (".member", ".joint", ".study", ".size"), beside all that it may
    name; solve it by `commands`, and by one of the others that read such files, which take turns.

    Raises
    ------
    AssertionError
        If the outcome is not one of those allowed; any other exception is a crash.
    """
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        for name, text in bundled().items():
            (place / f"{name}.toml").write_text(text, "utf-8")
        for name, text in COMPANIONS.items():
            (place / name).write_text(text, "utf-8")
        path = place / "fuzzed.toml"
        path.write_bytes(data)
        try:
            read = _READERS[kind](path)
        except InputError as error:
            return Outcome(REFUSED, one_sentence(str(error)))
        except SolveError as error:
            return Outcome(UNSOLVED, one_sentence(str(error)))
        if not commands:
            return Outcome(VALID)
        found = _COMMANDS[kind](path, read)
        others = _others(kind, path)
        if turn is not None and others and found.what == VALID:
            found = given_to(others[turn % len(others)])
        return found


def _others(kind: str, path: Path) -> tuple[tuple[str, ...], ...]:
    """Further commands that read a kind of file."""
    file = str(path)

    def beside(name: str) -> str:
        return str(path.with_name(name))

    if kind == ".member":
        tables = ("--reactions", beside("r.csv"), "--mode", beside("m.csv"))
        more = ("--joints", beside("j.csv"), "--bearings", beside("b.csv"))
        return (
            ("vibrate", file, "--modes", "3", "--json", "--figure", beside("v.svg")),
            ("influence", file, "--json", "--figure", beside("i.svg")),
            ("member", file, "--no-remedies", *tables),
            ("report", file, "-o", beside("page.html")),
            ("member", file, "--no-remedies", *more),
            ("pays", file, "--keep-shape", "--json"),
            ("pays", file, "--keep-shape", "span.1.length", "load.1.weight", "--json"),
            ("compare", "HEB200", "IPE300", "--material", "S355", "--member", file, "--json"),
        )
    if kind == ".joint":
        return (("joint", file, "V = 10 kN", "M_z = 1 kN*m", "--json", "--csv", beside("j.csv")),)
    return ()


_READERS: Mapping[str, Callable[[Path], Any]] = {
    ".member": load_member,
    ".joint": load_joints,
    ".study": load_study,
    ".size": load_sizing,
}


def _solved_member(path: Path, read: Any) -> Outcome:
    figure = path.with_name("figure.svg")
    words = ["member", str(path), "--no-remedies"]
    written = ["--json", "--figure", str(figure)]
    if not read.stages:
        written += ["--csv", str(path.with_name("rows.csv"))]
    code, out, err = run(*words, *written)
    if not out:
        return _told(code, err)
    record = finite(out)
    assert figure.stat().st_size > 1000
    for theory in _sums(record):
        for name, sums in theory.items():
            assert sums["out_of_balance"] < BALANCE, (name, sums)
    code, out, err = run(*words)
    assert out, err
    named = "nan" in path.read_text("utf-8").lower()  # a name may be told as it is written
    assert named or " nan" not in out.lower(), out
    return Outcome(VALID)


def _sums(item: Any) -> list[Any]:
    """All tables named "sums" in a record."""
    if isinstance(item, list):
        return [found for one in item for found in _sums(one)]
    if not isinstance(item, dict):
        return []
    own = [item["sums"]] if isinstance(item.get("sums"), dict) else []
    return own + [found for one in item.values() for found in _sums(one)]


def _solved_joint(path: Path, read: Any) -> Outcome:
    code, out, err = run("joint", str(path), "--json", "--turn", "0.3 deg")
    if not out:
        return _told(code, err)
    finite(out)
    words = ("--figure", str(path.with_name("figure.svg"))) if read.cases else ()
    code, out, err = run("joint", str(path), *words)
    assert (code, err) == (0, ""), err
    return Outcome(VALID)


def _solved_study(path: Path, read: Any) -> Outcome:
    if len(read.plan) > _ROWS:
        return Outcome(VALID)
    rows = path.with_name("rows.csv")
    code, out, err = run("sweep", str(path), "--workers", "1", "--no-cache", "--csv", str(rows))
    if code:
        return _told(code, err)
    with rows.open(encoding="utf-8", newline="") as file:  # names may hold line breaks
        assert len(list(csv.reader(file))) == len(read.plan) + 1, out
    return Outcome(VALID)


def _sized(path: Path, read: Any) -> Outcome:
    """Lists to choose from, and ranges of one dimension; rolled shapes take too long."""
    chosen = getattr(read.choice, "parameters", ())
    if not chosen or math.prod(len(one.values) or _ROWS for one in chosen) > _ROWS:
        return Outcome(VALID)
    code, out, err = run("size", str(path), "--workers", "1", "--no-cache", "--json")
    if not out:
        return _told(code, err)
    finite(out)
    return Outcome(VALID)


def _told(code: int, message: str) -> Outcome:
    """What a command that printed no result said: 2 for the input, 1 for the method."""
    assert code in (1, 2), (code, message)
    lines = [line for line in message.splitlines() if line.startswith("soapfilm")]
    assert len(lines) == 1, message
    return Outcome(REFUSED if code == 2 else UNSOLVED, one_sentence(lines[0]))


_COMMANDS: Mapping[str, Callable[[Path, Any], Outcome]] = {
    ".member": _solved_member,
    ".joint": _solved_joint,
    ".study": _solved_study,
    ".size": _sized,
}
