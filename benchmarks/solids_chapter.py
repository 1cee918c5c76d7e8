"""The validation book's chapter of 3D elasticity: kept references beside the package, each row with
the script that makes its reference and the data where it is kept.

References cost minutes to hours each and are made anew by their own scripts; here the package is
solved anew and set beside what is kept.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.deforming.references import Reference, Value, kinks, names, near_start, reference

from . import critical_members, vibrating_members
from .book_tables import off, table
from .buckling.cases import CASES as WAVES
from .buckling.ours import our_factors
from .deforming_members import solved_case
from .elasticity.cases import CASES
from .elasticity.harder_cases import HARDER
from .elasticity.waves import WAVES as EXACT_ALONG

HEADS = (
    "case", "quantity", "3D", "its last change", "ours", "difference", "script", "data",
)  # fmt: skip
HALF_WAVES = Path(__file__).parent / "buckling" / "reference.json"

TEXT = """\
## Members and sections beside 3D elasticity

References of our own and of general libraries, solid elements without any assumption of beams or
plates, which share no code with the solver: each is kept as data with the script that makes it
(named in its row, in `benchmarks/`; run `python -m benchmarks.elasticity NAME` and so on). "Its
last change" is what one order more, or a finer mesh, changed of the reference itself. What the
theory leaves out stands below each table.
"""
MEMBERS_TEXT = """\
### Members whose sections deform: displacement and stress

Of each member the largest displacement and the largest stress component among the points that were
asked in 3D (away from loads, held ends and steps); differences by that value. All other points are
in `elasticity/stated_change.md`, beside what the member states of its own change, and are held by
`tests/deforming/test_against_elasticity.py`. Boxes with a kink: both pieces end square to their own
axes, which is told beside every result.
"""
WAVES_TEXT = """\
### Sections that buckle: half-waves

Lowest load factor at a half-wavelength; quadratic hexahedra of a general library (scikit-fem).
Held by `tests/buckling/test_against_elasticity.py`.
"""
CRITICAL_TEXT = """\
### Members that buckle: smallest load factor

Held by `tests/critical/`. Thick plates as diaphragms clamp the walls in 3D; here diaphragms hold
shapes in their plane and leave walls free to turn, which is on the safe side. The 3D value of that
row has not settled.
"""
VIBRATION_TEXT = """\
### Members that vibrate: frequencies

In Hz, all modes that were kept. Held by `tests/vibration/test_against_elasticity.py`.
"""


def solids_chapter() -> str:
    """Text and tables."""
    parts = (
        (MEMBERS_TEXT, member_rows()),
        (WAVES_TEXT, wave_rows()),
        (CRITICAL_TEXT, critical_rows()),
        (VIBRATION_TEXT, vibration_rows()),
    )
    return "\n".join([TEXT, *(f"{text}\n{table(HEADS, rows)}\n" for text, rows in parts)]).rstrip()


def member_rows() -> Iterator[list[str]]:
    """Displacement and stress of every kept member."""
    for name in names():
        yield from _two_rows(reference(name), _script(name), f"elasticity/data/{name}.json")
    for known in kinks():
        yield from _two_rows(known, "elasticity/kinks.py", "elasticity/kinks.json")


def _script(name: str) -> str:
    if name in EXACT_ALONG:
        return "elasticity/waves.py"
    for cases, file in ((CASES, "cases.py"), (HARDER, "harder_cases.py")):
        if any(case.name == name for case in cases):
            return f"elasticity/{file}"
    raise KeyError(name)


def _two_rows(known: Reference, script: str, data: str) -> Iterator[list[str]]:
    solution, _ = solved_case(known.case)

    def row(quantity: str, value: Value, found: np.ndarray, count: int) -> list[str]:
        worst = int(np.abs(value.value[:count]).argmax())
        theirs, change, ours = value.value[worst], value.change[worst], float(found[worst])
        component = quantity.split("|")[worst]
        at = ", ".join(f"{c:g}" for c in value.at)
        return [
            known.case.about
            if known.case.kink is None
            else f"{known.case.about}: {known.case.name}",
            f"{component} at ({at}) mm",
            f"{theirs:.5g}",
            off(change / abs(theirs)).lstrip("+"),
            f"{ours:.5g}",
            off(ours / theirs - 1),
            script,
            data,
        ]

    moved = max(known.displacements, key=lambda v: max(abs(c) for c in v.value[:2]))
    x, y, z = moved.at
    found = solution.displacement([(x, y)], [z])[0, 0, :, 0]
    yield row("u_x [mm]|u_y [mm]", moved, found, 2)
    away = [v for v in known.stresses if v.at[2] > near_start(known)]
    stressed = max(away, key=lambda v: max(abs(c) for c in v.value))
    x, y, z = stressed.at
    found = solution.stress([(x, y)], [z])[0, 0, :, 0]
    words = ("xx", "yy", "zz", "yz", "xz", "xy")
    yield row("|".join(f"sigma_{w} [MPa]" for w in words), stressed, found, 6)


def wave_rows() -> Iterator[list[str]]:
    """Half-waves of sections."""
    kept = json.loads(HALF_WAVES.read_text())
    for case in WAVES:
        rows = [row for row in kept if row["case"] == case.name]
        for row, ours in zip(rows, our_factors(case), strict=True):
            yield [
                case.name,
                f"factor at {row['half_wavelength']:g} mm",
                f"{row['factor']:.5g}",
                off(row["change"]).lstrip("+"),
                f"{ours:.5g}",
                off(ours / row["factor"] - 1),
                "buckling/reference.py",
                "buckling/reference.json",
            ]


def critical_rows() -> Iterator[list[str]]:
    """Critical loads of members."""
    for name, known in critical_members.kept().items():
        before, theirs = (float(run["factor"]) for run in known["runs"][-2:])
        ours = critical_members.our_factor(name)
        braced = name in critical_members.BRACED
        yield [
            known["case"]["about"],
            "smallest load factor",
            f"{theirs:.5g}",
            off(abs(theirs / before - 1)).lstrip("+"),
            f"{ours:.5g}",
            off(ours / theirs - 1),
            "elasticity/braced_cases.py" if braced else "elasticity/buckling.py",
            "elasticity/buckling.json",
        ]


def vibration_rows() -> Iterator[list[str]]:
    """Frequencies of members."""
    for name, known in vibrating_members.kept().items():
        theirs, change = (np.array(known[key]) for key in ("frequencies", "change"))
        ours = vibrating_members.vibration(name).frequencies[-len(theirs) :]
        yield [
            known["words"],
            f"first {len(theirs)} frequencies [Hz]",
            ", ".join(f"{f:.5g}" for f in theirs),
            ", ".join(off(c).lstrip("+") for c in change / theirs),
            ", ".join(f"{f:.5g}" for f in ours),
            ", ".join(off(f) for f in ours / theirs - 1),
            "elasticity/modes.py",
            "elasticity/frequencies.json",
        ]
