"""The effective section in words: quantities, walls, record. A code's rule, said to be one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..text.blocks import Group, HeadedRows, Row
from ..text.number import displayed, near_zero, number, unit_power

if TYPE_CHECKING:
    from ...solver.section.buckling.effective import EffectiveSection
    from ...solver.section.buckling.result import SectionBuckling
    from ...solver.section.buckling.wall_reduction import EffectiveWall

HEADING = "Effective section: a code's rule, EN 1993-1-5 4.4 form, from memory"
_DIGITS = 5


def effective_groups(buckling: SectionBuckling, effective: EffectiveSection) -> list[Group]:
    """Properties of the effective section beside the gross ones."""
    unit = buckling.section.unit
    stress_unit, stress = displayed(unit, "stress")
    gross, m = effective.gross, effective.gross.second_moments
    size = buckling.section.size()
    x, y = (number(near_zero(float(c), size), 4) for c in effective.shift)
    rows = [
        Row("yield strength", "f_y", number(effective.strength * stress, _DIGITS), stress_unit),
        Row(
            "critical stress of local buckling",
            "σ_cr",
            number(effective.critical_stress * stress, _DIGITS),
            stress_unit,
            f"of the whole section, half-wavelength {number(effective.mode.half_wavelength, 4)} "
            f"{unit}".rstrip(),
        ),
        _row("effective area", "A_eff", effective.area, gross.gross_area, unit, 2),
        Row("shift of the centroid", "e_x, e_y", f"{x}, {y}", unit),
    ]
    second = [("x", float(effective.moments[0]), m.x), ("y", float(effective.moments[1]), m.y)]
    rows += [
        _row("effective second moment", f"I_{axis},eff", now, was, unit, 4)
        for axis, now, was in second
    ]
    if effective.modulus is None or effective.tension_modulus is None:
        force, factor = displayed(unit, "force")
        text = number(effective.area * effective.strength * factor, _DIGITS)
        rows.append(Row("A_eff f_y, no partial factor", "N", text, force))
    else:
        for words, symbol, value in (
            ("effective modulus, compression", "W_eff,c", effective.modulus),
            ("effective modulus, tension", "W_eff,t", effective.tension_modulus),
        ):
            rows.append(Row(words, symbol, number(value, _DIGITS), unit_power(unit, 3)))
        moment, factor = displayed(unit, "moment")
        least = min(effective.modulus, effective.tension_modulus)
        text = number(least * effective.strength * factor, _DIGITS)
        rows.append(Row("W_eff f_y, no partial factor", "M", text, moment))
    return [Group(HEADING, rows)]


def _row(words: str, symbol: str, now: float, was: float, unit: str, power: int) -> Row:
    share = f"{100 * now / was:.1f} % of the gross section's {number(was, _DIGITS)}"
    return Row(words, symbol, number(now, _DIGITS), unit_power(unit, power), share)


def wall_rows(buckling: SectionBuckling, effective: EffectiveSection) -> HeadedRows:
    """One row a flat wall."""
    unit = buckling.section.unit
    heads = ["", "wall", "from", "to", "width", "t", "psi", "slenderness", "rho", "effective"]
    units = ["", "", unit, unit, unit, unit, "", "", "", unit]
    rows = [[str(n), *_wall(wall)] for n, wall in enumerate(effective.walls, 1)]
    return HeadedRows(heads, units, rows)


def _wall(wall: EffectiveWall) -> list[str]:
    e = wall.element
    place = [f"({number(float(p[0]), 4)}, {number(float(p[1]), 4)})" for p in (e.start, e.end)]
    kind = "internal" if wall.internal else "outstand"
    if not wall.compressed:
        return [f"{kind}, in tension", *place, number(e.width, 4), number(e.thickness, 4),
                "-", "-", "1", number(e.width, 4)]  # fmt: skip
    mark = " *" if wall.own else ""
    return [
        kind, *place, number(e.width, 4), number(e.thickness, 4), number(wall.psi, 3),
        number(wall.slenderness, 4) + mark, number(wall.reduction, 4),
        number(wall.effective_width, 4),
    ]  # fmt: skip


def effective_notes(buckling: SectionBuckling, effective: EffectiveSection) -> list[str]:
    """How the effective section comes about, and what it leaves out."""
    notes = [
        "Effective section: a rule of design codes in the form of EN 1993-1-5 4.4, written from "
        "memory, not elastic theory. Each flat wall keeps rho of its width in compression; the "
        "slenderness comes from the local buckling of the whole section or, marked *, from the "
        "wall by itself between hinged edges where its critical stress is higher. Corners and "
        "fillets count in full.",
    ]
    if effective.modulus is not None:
        notes.append(
            "The neutral axis moves as parts of the walls drop out: widths and stresses were found "
            f"in turn until they stayed ({effective.steps} steps)."
        )
    else:
        notes.append(
            "Under N the stress on the effective area is uniform; the shift of its centroid gives "
            "the moment N e, which the code adds."
        )
    distortional = [m for m in buckling.minima if m.movement.kind == "distortional"]
    if distortional:
        lowest = min(distortional, key=lambda mode: mode.factor)
        unit, factor = displayed(buckling.section.unit, "stress")
        notes.append(
            "Effective widths hold local buckling only: distortional buckling, at "
            f"{number(buckling.stress(lowest) * factor, 4)} {unit}, needs its own check (EN "
            "1993-1-3 reduces the thickness of edge stiffeners)."
        )
    return notes


def effective_record(effective: EffectiveSection) -> dict[str, Any]:
    """The record as a dictionary, in consistent units."""
    return {
        "rule": "EN 1993-1-5 4.4 form, from memory",
        "strength": effective.strength,
        "critical_stress": effective.critical_stress,
        "half_wavelength": effective.mode.half_wavelength,
        "area": effective.area,
        "gross_area": effective.gross.gross_area,
        "centroid": [float(c) for c in effective.centroid],
        "shift_of_centroid": [float(c) for c in effective.shift],
        "second_moments": dict(
            zip(("x", "y", "xy"), (float(m) for m in effective.moments), strict=True)
        ),
        "modulus_compression": effective.modulus,
        "modulus_tension": effective.tension_modulus,
        "steps": effective.steps,
        "walls": [
            {
                "start": [float(c) for c in wall.element.start],
                "end": [float(c) for c in wall.element.end],
                "thickness": wall.element.thickness,
                "internal": wall.internal,
                "compressed": wall.compressed,
                "psi": wall.psi if wall.compressed else None,
                "slenderness": wall.slenderness if wall.compressed else None,
                "slenderness_of_the_wall_by_itself": wall.own,
                "reduction": wall.reduction,
                "effective_width": wall.effective_width,
                "lost": list(wall.lost) if wall.lost else None,
            }
            for wall in effective.walls
        ],
    }
