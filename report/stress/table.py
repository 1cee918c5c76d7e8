"""The table of a section's stresses: load cases, envelope, and what was left out and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...geometry.units import Units
from ...solver.section.stress.actions import SYMBOLS
from ...solver.section.stress.components import COMPONENTS
from ..section.table import place_uncertainty
from ..text import caution
from ..text.blocks import Group, Row
from ..text.number import near_zero, number, supported, unit_text
from ..text.rendering import render
from .joint_rows import case_joints, envelope_joints

if TYPE_CHECKING:
    from ...solver.section.stress.components import Component
    from ...solver.section.stress.extremes import Extreme
    from ...solver.section.stress.load_cases import CaseStress, StressResult

SIGNS = (
    "Actions on the face toward the reader: tension positive; M_x > 0 puts it at the top, so a "
    "sagging beam has M_x < 0, and M_y > 0 at the left; T > 0 turns x toward y."
)
#: Quantity of each action, in the order of `SYMBOLS`.
_QUANTITY = ("force", "moment", "moment", "force", "force", "moment", "moment", "bimoment")


def stress_table(stress: StressResult) -> str:
    """The table as text."""
    title = f"{stress.result.section.name}: stresses"
    return render(title, stress_groups(stress), stress_notes(stress))


def stress_groups(stress: StressResult) -> list[Group]:
    """Shear properties, then actions and extremes of every load case, then their envelope."""
    groups = [shear_properties(stress)]
    for case in stress.cases:
        groups += [_actions(stress, case), _extremes(stress, case), case_joints(stress, case)]
    if len(stress.cases) > 1:
        groups += [_envelope(stress), Group("Envelope of the joints", envelope_joints(stress))]
    return groups


def shear_properties(stress: StressResult) -> Group:
    """Shear areas and the shear centre by both definitions."""
    result, units = stress.result, stress.units
    area = unit_text(f"{result.unit}^2") if result.unit else ""
    flexibility = units.shear_flexibility()
    centre = units.flexural_shear_centre()
    shift = place_uncertainty(result)
    x, y = (supported(float(c), shift) for c in centre)
    tx, ty = (supported(float(c), shift) for c in result.shear_centre)
    nu = units.flexure.poisson_scale
    return Group(
        "Shear properties",
        [
            Row("shear area for V_x (energy)", "A_v,x", number(1 / flexibility[0, 0]), area),
            Row("shear area for V_y (energy)", "A_v,y", number(1 / flexibility[1, 1]), area),
            Row("shear centre (Trefftz)", "x_s, y_s", f"{tx}, {ty}", result.unit),
            Row(
                "the same by flexure",
                f"nu = {number(nu)}",
                f"{x}, {y}",
                result.unit,
            ),
        ],
    )


def _actions(stress: StressResult, case: CaseStress) -> Group:
    rows = []
    for k, symbol in enumerate(SYMBOLS):
        if case.vector[k]:
            unit, factor = _unit(stress, _QUANTITY[k])
            rows.append(Row("", symbol, number(float(case.vector[k]) * factor), unit))
    if case.actions.through is not None:
        x, y = case.actions.through
        place = f"({number(x)}, {number(y)}) {stress.result.unit}".rstrip()
        rows[-1] = Row(
            "",
            rows[-1].symbol,
            rows[-1].value,
            rows[-1].unit,
            f"the shear acts through {place}; its moment about the shear centre is in T",
        )
    return Group(f"Actions: {case.actions.name}", rows)


def action_text(stress: StressResult, action: int, value: float) -> str:
    """An action as a figure names it: "M_x = 80 kN·m"."""
    unit, factor = _unit(stress, _QUANTITY[action])
    return f"{SYMBOLS[action]} = {number(value * factor, 4)} {unit}".rstrip()


def _extremes(stress: StressResult, case: CaseStress) -> Group:
    rows = [_row(stress, extreme, "") for extreme in case.extremes if case.counts(extreme)]
    if case.utilisation is not None:
        by = f" with factor {number(stress.factor)}" if stress.factor != 1 else ""
        corners = any(not e.bounded for e in case.extremes)
        away = ", sharp corners left out: no check of those" if corners else ""
        note = f"largest von Mises stress over strength{by}; elastic criterion{away}"
        rows.append(Row("utilisation", "", number(case.utilisation, 4), "", note))
    return Group(f"Stresses: {case.actions.name}", rows)


def _envelope(stress: StressResult) -> Group:
    return Group(
        "Envelope over all load cases",
        [_row(stress, extreme, f"in {name!r}") for extreme, name in stress.envelope],
    )


def _row(stress: StressResult, extreme: Extreme, where: str) -> Row:
    unit, factor = _unit(stress, "stress")
    component = COMPONENTS[extreme.component]
    word = _side(component, extreme)
    size = stress.result.section.size()
    x, y = (number(near_zero(c, size), 5) for c in extreme.at)
    value = supported(extreme.value * factor, abs(extreme.change * extreme.value * factor), 5)
    away = "" if extreme.bounded else ", away from sharp corners"
    region = stress.result.section.regions[extreme.region].name
    several = f" in {region}" if region and len(stress.result.section.regions) > 1 else ""
    note = (
        f"at ({x}, {y}) {stress.result.unit}{several}{away}; "
        f"change from the order before {extreme.change:.1e}"
    )
    return Row(
        word + component.words, component.symbol, value, unit, " ".join((note, where)).rstrip()
    )


def _side(component: Component, extreme: Extreme) -> str:
    """Which extreme it is; principal stresses say so themselves."""
    if len(component.sides) > 1:
        return "maximum " if extreme.side > 0 else "minimum "
    return "peak " if component.key in ("shear", "von Mises") else ""


def _unit(stress: StressResult, quantity: str) -> tuple[str, float]:
    """Unit in which engineers read a quantity, and its factor."""
    if not stress.result.unit:
        return "", 1.0
    unit, factor = Units(stress.result.unit).display(quantity)
    return unit_text(unit), factor


def stress_notes(stress: StressResult) -> list[str]:
    """What must stand beside the stresses: what was left out, assumed and checked, and cautions."""
    notes = [*stress.result.section.notes, *stress_assumptions(stress)]
    notes.append(
        "Resultants integrated back from the unit fields return the actions within "
        f"{stress.equilibrium_residual:.1e}."
    )
    notes.append(
        "T is the Saint-Venant part of the torque; T_w and B come from restrained warping and are "
        "found along the member."
    )
    notes.append(caution.SECTION)
    return notes


def stress_assumptions(stress: StressResult) -> list[str]:
    """What was left out and assumed of stresses, and the signs of actions."""
    notes = []
    if stress.refusal:
        notes.append(stress.refusal[0].upper() + stress.refusal[1:])
    materials = {r.material for r in stress.result.section.regions}
    if any(not m.specified for m in materials):
        nu = stress.units.flexure.poisson_scale
        notes.append(
            f"No material is named: Poisson's ratio {number(nu)} is assumed (it shapes the shear "
            "stresses of V_x and V_y only)."
        )
    if len({m.poisson_ratio for m in materials}) > 1:
        notes.append(
            "Materials of different Poisson's ratio: each region bends by its own, and the small "
            "in-plane stresses that would fit them together are left out."
        )
    notes.append(SIGNS)
    return notes
