"""The table of a solved section: every quantity in words, in both notations, with its unit.

A figure is printed to the digits its convergence supports, a value that vanishes but for rounding
as 0, and one the method cannot give as the reason why.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...geometry.units import Units
from ...solver.section.torsion.cells import mid_wall_areas
from ..stress.joint_rows import torsion_joints
from ..text import caution
from ..text.blocks import Group, Row
from ..text.number import bounds, near_zero, number, supported, unit_power, unit_text
from ..text.rendering import render
from .curve_words import beside_interval, curve_notes
from .rigidity_rows import materials_group, rigidity_group

if TYPE_CHECKING:
    from ...solver.section import SectionResult

#: What the mean lever arm is, for a reader who meets it here.
ARM = "torque over the sum of |shear stress| times area; a longer arm is a stiffer section"


def section_table(result: SectionResult) -> str:
    """The table as text."""
    return render(section_title(result), section_groups(result), section_notes(result))


def section_groups(result: SectionResult) -> list[Group]:
    """All quantities, each with its unit and what has to be said of it."""
    return [
        _area(result),
        _bending(result),
        _torsion(result),
        _warping(result),
        _cells(result),
        torsion_joints(result),
        materials_group(result),
        rigidity_group(result),
    ]


def section_title(result: SectionResult) -> str:
    """The section's name and overall size."""
    x0, y0, x1, y1 = result.section.bounds()
    size = f"{number(x1 - x0)} x {number(y1 - y0)} {result.unit}".rstrip()
    return f"{result.section.name}: {size}"


def _area(result: SectionResult) -> Group:
    unit, size = result.unit, result.section.size()
    x, y = (near_zero(float(c), size) for c in result.centroid)
    rows = [
        Row("area" + _weighted(result), "A", number(result.area), unit_power(unit, 2)),
        Row("perimeter", "U", number(result.perimeter), unit),
        Row("centroid", "x_c", number(x), unit),
        Row("", "y_c", number(y), unit),
    ]
    if result.is_composite:
        gross = number(result.area_properties.gross_area)
        rows.insert(1, Row("area, materials alike", "A_gross", gross, unit_power(unit, 2)))
    if result.mass_per_length is not None and unit:
        label, factor = Units(unit).display("mass per length")
        mass = number(result.mass_per_length * factor, 5)
        rows.append(Row("mass per length", "m", mass, unit_text(label)))
    return Group("Area", rows)


def _bending(result: SectionResult) -> Group:
    unit, m, w = result.unit, result.second_moments, result.elastic_moduli
    inertia, modulus = unit_power(unit, 4), unit_power(unit, 3)
    radii = result.radii_of_gyration
    xy = number(near_zero(m.xy, m.x + m.y))
    principal = [
        Row("elastic modulus, major axis", "W_el,1 = S_1", number(w.major), modulus),
        Row("elastic modulus, minor axis", "W_el,2 = S_2", number(w.minor), modulus),
    ]
    if xy == "0":  # then they are among those about x and y
        principal = []
    rows = [
        Row("second moment about x", "I_x", number(m.x), inertia),
        Row("second moment about y", "I_y", number(m.y), inertia),
        Row("product of inertia", "I_xy", xy, inertia),
        Row("major principal", "I_1 = I_max", number(m.major), inertia),
        Row("minor principal", "I_2 = I_min", number(m.minor), inertia),
        Row("major axis from x", "alpha", number(near_zero(m.angle_deg, 180.0)), "deg"),
        Row("elastic modulus, top", "W_el,x = S_x", number(w.x_top), modulus),
        Row("elastic modulus, bottom", "W_el,x = S_x", number(w.x_bottom), modulus),
        Row("elastic modulus, right", "W_el,y = S_y", number(w.y_right), modulus),
        Row("elastic modulus, left", "W_el,y = S_y", number(w.y_left), modulus),
        *principal,
        *_plastic(result),
        Row("radius of gyration about x", "i_x = r_x", number(float(radii[0])), unit),
        Row("radius of gyration about y", "i_y = r_y", number(float(radii[1])), unit),
    ]
    return Group("Bending (about the centroid)", rows)


def _plastic(result: SectionResult) -> list[Row]:
    plastic, unit = result.plastic_moduli, result.unit
    if plastic.x is None or plastic.y is None:
        return [Row("plastic moduli", "W_pl = Z", "none", "", plastic.reason)]
    rows = [
        Row("plastic modulus about x", "W_pl,x = Z_x", number(plastic.x), unit_power(unit, 3)),
        Row("plastic modulus about y", "W_pl,y = Z_y", number(plastic.y), unit_power(unit, 3)),
    ]
    if plastic.neutral_y is not None and plastic.neutral_x is not None:
        size = result.section.size()
        y, x = (number(near_zero(v, size)) for v in (plastic.neutral_y, plastic.neutral_x))
        rows.append(Row("plastic neutral axis, y of", "y_pl", y, unit))
        rows.append(Row("plastic neutral axis, x of", "x_pl", x, unit))
    return rows


def _torsion(result: SectionResult) -> Group:
    unit, j = result.unit, result.torsion_constant
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    meaning = (
        f"guaranteed: the exact value for this outline lies in {interval_text(result)}, "
        f"of relative width {(upper - lower) / j:.1e}" + beside_interval(result)
    )
    arm = supported(result.mean_lever_arm, result.mean_lever_arm_change * result.mean_lever_arm)
    rows = [
        Row(
            "torsion constant", "J = I_T", supported(j, upper - lower), unit_power(unit, 4), meaning
        ),
        *_modulus(result),
        Row("mean lever arm of shear flow", "T / int|tau| dA", arm, unit, ARM),
    ]
    plastic = result.plastic_torque
    if plastic.value is None:
        rows.append(
            Row("fully plastic torque (sand heap)", "T_pl / tau_y", "none", "", plastic.reason)
        )
    else:
        value = number(plastic.value, 4)
        rows.append(
            Row("fully plastic torque (sand heap)", "T_pl / tau_y", value, unit_power(unit, 3))
        )
    return Group("Torsion", rows)


def interval_text(result: SectionResult) -> str:
    """Both bounds of J with their unit."""
    both = bounds(result.torsion_constant_lower, result.torsion_constant_upper)
    return f"{both} {unit_power(result.unit, 4)}".rstrip()


def _modulus(result: SectionResult) -> list[Row]:
    """Torsion section modulus, or why there is none and what holds away from the corners."""
    modulus, unit = result.torsion_modulus, result.unit
    cubed = unit_power(unit, 3)
    if modulus.value is not None and modulus.at is not None:
        value = supported(modulus.value, modulus.doubt * modulus.value)
        note = f"peak shear stress = T / W_T, at {_place(result, modulus.at)}"
        return [Row("torsion section modulus", "W_T", value, cubed, note)]
    rows = [Row("torsion section modulus", "W_T", "none", "", modulus.reason)]
    if modulus.away is not None and modulus.away_at is not None:
        value = supported(modulus.away, modulus.doubt * modulus.away)
        note = f"peak outside the surroundings of the corners, at {_place(result, modulus.away_at)}"
        rows.append(Row("the same, away from corners", "W_T,away", value, cubed, note))
    return rows


def _warping(result: SectionResult) -> Group:
    unit, warping = result.unit, result.warping_properties
    shift = place_uncertainty(result)
    x, y = (supported(float(c), shift) for c in result.shear_centre)
    cw = supported(result.warping_constant, warping.warping_constant_change)
    beta_x, beta_y = (supported(float(b), 2 * shift) for b in result.monosymmetry)
    radius = supported(result.polar_radius, shift)
    rows = [
        Row("shear centre (Trefftz)", "x_s", x, unit),
        Row("", "y_s", y, unit),
        Row("warping constant", "C_w = I_w", cw, unit_power(unit, 6)),
        Row("polar radius about it", "r_0 = i_0", radius, unit),
        Row("monosymmetry parameter for M_x (Wagner)", "beta_x", beta_x, unit),
        Row("monosymmetry parameter for M_y (Wagner)", "beta_y", beta_y, unit),
    ]
    return Group("Warping and shear centre", rows)


def place_uncertainty(result: SectionResult) -> float:
    """How far the shear centre may be off: what its order moves it by, or, since the interval's
    width bounds the energy of the fields' error, that share of the size."""
    change = result.warping_properties.shear_centre_change
    return max(change, result.solver.reached * result.section.size())


def _cells(result: SectionResult) -> Group:
    rows = []
    squared = unit_power(result.unit, 2)
    middles = mid_wall_areas(result.field)
    for k, (cell, middle) in enumerate(zip(result.cells, middles, strict=True), 1):
        rows += [
            Row(f"cell {k}, area of the void", f"A_{k}", number(cell.void_area), squared),
            Row(
                "    within the wall's middle",
                f"A_m{k}",
                number(middle, 4),
                squared,
                "the A of Bredt's q = T / (2 A)",
            ),
            Row(
                "    shear flow by torque",
                f"q_{k} / T",
                number(cell.shear_flow_per_torque),
                unit_power(result.unit, -2),
            ),
        ]
    return Group("Cells", rows)


def section_notes(result: SectionResult) -> list[str]:
    """What must stand beside the quantities: notes, how it was solved, cautions."""
    solver = result.solver
    notes = [*result.section.notes, *curve_notes([result])]
    if result.is_composite:
        notes.append(
            f"Several materials: areas, second moments and C_w are weighted by E, J by G, both "
            f"relative to {result.reference.name}."
        )
    if not solver.met:
        notes.append(
            f"The interval for J reached {solver.reached:.1e} of the {solver.accuracy:.1e} asked "
            "for; it still holds the exact value."
        )
    notes.append(
        f"Solved with {solver.elements} elements of order {solver.order}, {solver.unknowns} "
        f"unknowns, in {solver.seconds:.2g} s."
    )
    notes.append(caution.SECTION)
    return notes


def _weighted(result: SectionResult) -> str:
    return ", weighted by E" if result.is_composite else ""


def _place(result: SectionResult, point: tuple[float, float]) -> str:
    x, y = (number(near_zero(c, result.section.size()), 5) for c in point)
    return f"({x}, {y}) {result.unit}".rstrip()
