"""The report of a section, with its stresses where load cases are given."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
from ...solver.section.stress.actions import NAMES, Actions
from ...solver.section.stress.load_cases import solve_stress
from ..section.curve_words import beside_interval
from ..section.figure import plot_shear, plot_warping
from ..section.table import (
    interval_text,
    place_uncertainty,
    section_groups,
    section_notes,
)
from ..stress.figure import plot_stress
from ..stress.table import stress_groups, stress_notes
from ..text import caution
from ..text.number import displayed, number, supported, unit_power
from .checks import section_checks, stress_checks
from .document import (
    Block,
    Document,
    Fact,
    Facts,
    Formulas,
    Live,
    Picture,
    Prose,
    Quantities,
    Remarks,
    ReportPart,
)
from .inputs import case_inputs, section_inputs
from .live_section import section_data, shaped
from .origin import Origin, program, reproduction
from .picture import picture
from .words import place, section_words, stress_words

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult
    from ...solver.section.stress.load_cases import StressResult

#: Figures of stress are drawn for so many load cases; the live section shows all.
_MOST_FIGURES = 4
_TORSION = ("lower_bound", "upper_bound", "width", "shear_centre", "lever_arm", "plastic_torque")
_STRESS = ("normal_stress", "bending_shear", "warping_shear", "mises")


def section_report(result: SectionResult, origin: Origin) -> Document:
    """The report of a section by itself: properties, and every stress the reader asks for."""
    live = _live(result, None)
    notes = section_notes(result)
    parts = [
        ReportPart("job", "The job", [Prose(section_words(result)), Facts(_section_facts(result))]),
        *live.parts,
        ReportPart("figures", "Figures", _section_figures(result)),
        ReportPart("inputs", "What was given", section_inputs(result.section)),
        ReportPart("properties", "Properties", [Quantities(section_groups(result))]),
        _guarantee(result),
        ReportPart("checks", "Checks made", [section_checks(result)]),
        _formulas(result, stressed=bool(live.data)),
        _cautions([*live.notes, *notes]),
        reproduction(origin),
    ]
    subtitle = f"Torsion and section properties. J in {interval_text(result)}, guaranteed."
    return Document(result.section.name, subtitle, parts, live.data, program())


def stress_report(stress: StressResult, origin: Origin) -> Document:
    """The report of a section under load cases."""
    result = stress.result
    live = _live(result, stress)
    parts = [
        ReportPart("job", "The job", [Prose(stress_words(stress)), Facts(_stress_facts(stress))]),
        *live.parts,
        ReportPart("figures", "Figures", _stress_figures(stress)),
        ReportPart(
            "inputs", "What was given", [*section_inputs(result.section), *case_inputs(stress)]
        ),
        ReportPart("stresses", "Stresses and limits", [Quantities(stress_groups(stress))]),
        ReportPart("properties", "Properties", [Quantities(section_groups(result))]),
        _guarantee(result),
        ReportPart("checks", "Checks made", [stress_checks(stress)]),
        _formulas(result, stressed=True),
        _cautions([*stress_notes(stress), *section_notes(result)]),
        reproduction(origin),
    ]
    count = len(stress.cases)
    cases = stress.cases[0].actions.name if count == 1 else f"{count} load cases"
    subtitle = f"Stresses under {cases}. J in {interval_text(result)}, guaranteed."
    return Document(result.section.name, subtitle, parts, live.data, program())


@dataclass(frozen=True, slots=True)
class _LiveParts:
    parts: list[ReportPart]
    data: dict[str, Any]
    notes: list[str]


def _live(result: SectionResult, stress: StressResult | None) -> _LiveParts:
    """Live section and soap film, or why there are none."""
    try:
        units = unit_cases(stress.result if stress else result)
    except InputError as error:
        return _LiveParts([], {}, [f"There is no live view: {error}."])
    data = shaped(section_data(stress, units, 0 if stress else None), result.section)
    section = ReportPart(
        "live",
        "Stresses of any actions",
        [Live("section", data)],
    )
    film = ReportPart(
        "film", "The membrane (soap film)", [Live("film_words", data), Live("film", data)]
    )
    return _LiveParts([section, film], {"sections": [data]}, [])


def unit_cases(result: SectionResult) -> StressResult:
    """One load case for each action that the section can carry."""
    first = Actions(torque=1.0, name="torque alone")
    warps = solve_stress(result, [first]).units.warps
    names = NAMES if warps else NAMES[:6]
    return solve_stress(result, [_alone(name) for name in names])


def _alone(name: str) -> Actions:
    """A unit of one action."""
    return replace(Actions(name=f"{name.replace('_', ' ')} alone"), **{name: 1.0})  # type: ignore[arg-type]


def _section_facts(result: SectionResult) -> list[Fact]:
    unit = result.unit
    width = result.torsion_constant_upper - result.torsion_constant_lower
    shift = place_uncertainty(result)
    x, y = (supported(float(c), shift, 4) for c in result.shear_centre)
    change = result.warping_properties.warping_constant_change
    arm_change = result.mean_lever_arm_change * result.mean_lever_arm
    return [
        Fact(
            "torsion constant",
            "J = I_T",
            supported(result.torsion_constant, width),
            unit_power(unit, 4),
            f"guaranteed in {interval_text(result)}",
        ),
        _torque_fact(result),
        Fact("mean lever arm", "a", supported(result.mean_lever_arm, arm_change, 4), unit),
        Fact("shear centre", "x_s, y_s", f"{x}, {y}", unit),
        Fact(
            "warping constant",
            "C_w = I_w",
            supported(result.warping_constant, change),
            unit_power(unit, 6),
        ),
        Fact("area", "A", number(result.area), unit_power(unit, 2)),
    ]


def _torque_fact(result: SectionResult) -> Fact:
    modulus = result.torsion_modulus
    cubed = unit_power(result.unit, 3)
    if modulus.value is not None:
        value = supported(modulus.value, modulus.doubt * modulus.value)
        note = "peak shear stress = T / W_T"
        return Fact("torsion section modulus", "W_T", value, cubed, note)
    if modulus.away is None:
        return Fact("torsion section modulus", "W_T", "none", "", "no bound at sharp corners")
    value = supported(modulus.away, modulus.doubt * modulus.away)
    note = "holds away from sharp corners only, where the shear has no bound"
    return Fact("T over the peak shear", "W_T,away", value, cubed, note)


def _stress_facts(stress: StressResult) -> list[Fact]:
    unit, factor = displayed(stress.result.unit, "stress")
    facts = []
    for component, words in (("von Mises", "von Mises stress"), ("shear", "shear stress")):
        extreme, name = next((e, n) for e, n in stress.envelope if e.component == component)
        value = supported(extreme.value * factor, extreme.change * abs(extreme.value) * factor, 4)
        symbol = "σ_v" if component == "von Mises" else "τ"
        where = f"at {place(stress.result, extreme.at)}, {name}"
        facts.append(Fact(f"peak {words}", symbol, value, unit, where))
    shares = [c.utilisation for c in stress.cases]
    if None not in shares:
        worst = max(stress.cases, key=lambda c: c.utilisation or 0.0)
        text = number(worst.utilisation or 0.0, 3)
        facts.append(Fact("utilisation", "", text, "", f"{worst.actions.name}, elastic criterion"))
    return [*facts, *_section_facts(stress.result)[:4]]


def _section_figures(result: SectionResult) -> list[Block]:
    name = result.section.name
    return [
        picture(
            plot_shear(result),
            f"Section {name} with contours of the shear stress of a torque",
            "Shear stress of a torque with its flow lines, the peak stress, centroid, shear "
            "centre and principal axes.",
        ),
        picture(
            plot_warping(result),
            f"Section {name} with contours of its warping",
            "Warping about the shear centre: displacement along the member per rate of twist.",
        ),
    ]


def _stress_figures(stress: StressResult) -> list[Block]:
    figures: list[Picture] = []
    for k, case in enumerate(stress.cases[:_MOST_FIGURES]):
        name = case.actions.name
        figures.append(
            picture(
                plot_stress(stress, "von Mises", k),
                f"Section {stress.result.section.name} with contours of the von Mises stress",
                f"Von Mises stress under {name}.",
            )
        )
    return [*figures, *_section_figures(stress.result)[:1]]


def _guarantee(result: SectionResult) -> ReportPart:
    solver = result.solver
    return ReportPart(
        "guarantee",
        "What guarantees J",
        [
            Prose(
                [
                    f"The exact torsion constant of this outline lies in {interval_text(result)}, "
                    f"of relative width {solver.reached:.1e}{beside_interval(result)}.",
                    "Two problems were solved on one mesh whose edges are the exact lines and arcs "
                    "of the outline: the stress function, whose J is never above the exact one, "
                    "and the warping, whose J is never below it. Order and mesh were refined until "
                    "both agreed as far as asked; rounding and quadrature are allowed for in the "
                    "interval. It holds for the outline as given and for linear elastic material. "
                    "Other properties carry no such interval: they are printed to the digits that "
                    "their convergence supports.",
                ]
            )
        ],
    )


def _formulas(result: SectionResult, *, stressed: bool) -> ReportPart:
    names = list(_TORSION)
    if result.corners:
        names.append("corner")
    if stressed:
        names += _STRESS
    return ReportPart("equations", "Equations and sources", [Formulas(names)])


def _cautions(notes: list[str]) -> ReportPart:
    """Each once, in the order in which they come, the general caution last."""
    kept = [note for note in dict.fromkeys(notes) if note != caution.SECTION]
    return ReportPart("cautions", "Assumptions and cautions", [Remarks([*kept, caution.SECTION])])
