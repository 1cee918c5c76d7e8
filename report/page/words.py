"""The job in words: what was given, what came out, and what it means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..section.figure import stress_per_torque
from ..section.table import interval_text
from ..stress.table import action_text
from ..text.number import displayed, near_zero, number, supported, unit_power

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult
    from ...solver.section.stress.load_cases import CaseStress, StressResult

#: A mean lever arm below this share of the mean wall says that the flow turns back inside it.
_OPEN = 1.0


def section_words(result: SectionResult) -> list[str]:
    """Paragraphs about a section by itself."""
    return [_given(result), _torsion(result), _stress_of_torque(result)]


def stress_words(stress: StressResult) -> list[str]:
    """Paragraphs about a section under its load cases."""
    cases = [_case(stress, case) for case in stress.cases[:4]]
    if len(stress.cases) > 4:
        cases.append(f"{len(stress.cases) - 4} more load cases are in the tables.")
    return [_given(stress.result), *cases, _torsion(stress.result)]


def place(result: SectionResult, at: tuple[float, float]) -> str:
    """A point of the section with its unit."""
    x, y = (number(near_zero(c, result.section.size()), 4) for c in at)
    return f"({x}, {y}) {result.unit}".rstrip()


def _given(result: SectionResult) -> str:
    section = result.section
    x0, y0, x1, y1 = section.bounds()
    size = f"{number(x1 - x0)} by {number(y1 - y0)} {section.unit}".rstrip()
    names = dict.fromkeys(r.material.name for r in section.regions if r.material.specified)
    of = f" of {' and '.join(names)}" if names else ", its material not named"
    count = len(result.cells)
    cells = "no closed cell" if not count else "one closed cell" if count == 1 else f"{count} cells"
    slits = ""
    if section.slits:
        slits = ". Where parts only touch, they are not joined"
    return f"The section “{section.name}” measures {size}{of}; it has {cells}{slits}."


def _torsion(result: SectionResult) -> str:
    j = result.torsion_constant
    arm = supported(result.mean_lever_arm, result.mean_lever_arm_change * result.mean_lever_arm, 4)
    wall = 2 * result.area_properties.gross_area / result.perimeter
    runs = (
        "inside its walls, to and fro within their thickness, which makes it soft in torsion"
        if result.mean_lever_arm < _OPEN * wall
        else "around the section, which makes it stiff in torsion"
        if result.cells
        else "through the body of the section"
    )
    unit = unit_power(result.unit, 4)
    width = result.torsion_constant_upper - result.torsion_constant_lower
    return (
        f"Its torsion constant is J = {supported(j, width)} {unit}".rstrip()
        + f"; the exact value for this outline is guaranteed to lie in {interval_text(result)}. "
        f"The shear that resists a torque acts, on average, {arm} {result.unit}".rstrip()
        + f" from where it balances: it runs {runs}."
    )


def _stress_of_torque(result: SectionResult) -> str:
    modulus = result.torsion_modulus
    value = modulus.value if modulus.value is not None else modulus.away
    at = modulus.at if modulus.value is not None else modulus.away_at
    if value is None or at is None:
        return f"The peak shear stress of a torque has no value: {modulus.reason}."
    factor, unit = stress_per_torque(result.unit, 1 / value)
    stress = f"{number(factor / value, 4)} {unit}"
    if modulus.value is not None:
        return f"A torque brings a shear stress of {stress} at most, at {place(result, at)}."
    return (
        f"The shear stress of a torque is {modulus.reason}. Away from there it is {stress} at "
        f"most, at {place(result, at)}."
    )


def _case(stress: StressResult, case: CaseStress) -> str:
    actions = [action_text(stress, k, float(v)) for k, v in enumerate(case.vector) if v]
    mises = case.extreme("von Mises")
    unit, factor = displayed(stress.result.unit, "stress")
    value = supported(mises.value * factor, mises.change * mises.value * factor, 4)
    away = "" if mises.bounded else ", sharp corners left out"
    text = (
        f"Under “{case.actions.name}” ({', '.join(actions)}) the von Mises stress reaches "
        f"{value} {unit}".rstrip()
        + f" at {place(stress.result, mises.at)}{away}"
    )
    if case.utilisation is not None:
        exceeded = ", and exceeds it" if case.utilisation > 1 else ""
        text += f": {number(case.utilisation, 3)} of the strength{exceeded}"
    return text + "."
