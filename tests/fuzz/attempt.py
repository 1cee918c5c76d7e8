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
from dataclasses import dataclass
from pathlib import Path

from soapfilm.cli.main import main
from soapfilm.geometry.checks.contact_only import contact_only_parts
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file import load_section
from soapfilm.geometry.units import Units
from soapfilm.solver.section.stress.case_file import load_cases

VALID, REFUSED, UNSOLVED = "valid", "refused", "not solved"
#: Longest sentence about what is wrong.
_SENTENCE = 1500


@dataclass(frozen=True, slots=True)
class Outcome:
    """`what`: one of `VALID`, `REFUSED`, `UNSOLVED`; the message where there is one."""

    what: str
    message: str = ""


def attempt(data: bytes, kind: str, unit: str | None, *, commands: bool = False) -> Outcome:
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

    Raises
    ------
    AssertionError
        If the outcome is not one of those allowed; any other exception is a crash.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("a.toml" if kind == ".cases" else f"a{kind}")
        path.write_bytes(data)
        try:
            if kind == ".cases":
                cases = load_cases(str(path), Units("mm"))
                assert all(math.isfinite(v) for c in cases for v in (c.axial_force, c.torque))
                return Outcome(VALID)
            section = load_section(path, unit)
            for body in contact_only_parts(section):
                check(body)
            assert all(region.area() > 0 for region in section.regions)
        except InputError as error:
            return Outcome(REFUSED, one_sentence(str(error)))
        return solved(path, unit) if commands else Outcome(VALID)


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
    record = json.loads(out)
    missed = not record["solver"]["reached"]
    assert code == missed, err
    assert missed or not err, err
    j = record["torsion_constant"]
    assert 0 < j["lower"] <= j["upper"] < math.inf, j
    assert j["upper"] <= j["lower"] * 1.0201 or not record["solver"]["reached"]
    return Outcome(VALID)


def run(*words: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of a command."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(list(words))
    message = err.getvalue()
    assert "unexpected" not in message, message
    assert "Traceback" not in message, message
    return code, out.getvalue(), message


def one_sentence(message: str) -> str:
    """The message, which must be one line of some length that says more than a type."""
    text = message.rstrip("\n")
    assert 10 < len(text) < _SENTENCE, text
    assert "\n" not in text, text
    return text
