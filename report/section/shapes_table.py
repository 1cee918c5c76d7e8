"""The catalogue of rolled shapes as text: families, lists, and one shape beside its solution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from ...geometry.catalogue import FAMILIES, Listing, search
from ...geometry.units import Units
from ..text import caution
from ..text.blocks import HeadedRows
from ..text.number import bounds, near_zero, number, supported, unit_power, unit_text
from ..text.rendering import folded, paragraph, render_rows, titled
from .shape_comparison import QUANTITIES, Compared

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult

_COLUMNS = {
    "area": ("A", 2),
    "second_moment_x": ("I_x", 4),
    "second_moment_y": ("I_y", 4),
    "torsion_constant": ("J", 4),
    "warping_constant": ("C_w", 6),
}


@dataclass(frozen=True, slots=True, eq=False)
class SolvedShape:
    """A shape of the catalogue with its solution and the comparison of both.

    `result` may be in another length unit than the listing; `compared` is in the result's.
    """

    listing: Listing
    result: SectionResult
    compared: tuple[Compared, ...]


def families_table() -> str:
    """Every family: its name, how many shapes it has, their depths and what they are."""
    rows = []
    for family in FAMILIES.values():
        shapes = search(family.name)
        depths = [shape.depth for shape in shapes]
        span = f"{number(min(depths), 4)} to {number(max(depths), 4)} {family.unit}"
        rows.append([family.name, family.title, str(len(shapes)), span])
    return render_rows(HeadedRows(["family", "what", "shapes", "depth"], [], rows, words=2))


def shapes_list(
    shapes: Sequence[Listing],
    unit: str | None = None,
    solved: Sequence[SolvedShape] | None = None,
) -> str:
    """Shapes family by family as their tables have them, in their own unit unless one is asked for.

    Parameters
    ----------
    shapes : sequence of Listing
    unit : str, optional
        Length unit of everything shown.
    solved : sequence of SolvedShape, optional
        One a shape; their J stands beside the tabulated one.
    """
    order = list(FAMILIES)
    none: Sequence[SolvedShape | None] = [None] * len(shapes)
    pairs = list(zip(shapes, solved or none, strict=True))
    pairs.sort(key=lambda pair: order.index(pair[0].family.name))  # keeps the order inside
    blocks = []
    for family, members in groupby(pairs, key=lambda pair: pair[0].family):
        shown = unit or family.unit
        group = list(members)
        heads = ["shape", *_heads(shown)]
        rows = [_list_row(listing, shown) for listing, _ in group]
        if solved:
            heads += ["J solved", "less table"]
            for row, (_, shape) in zip(rows, group, strict=True):
                row += _solved_cells(shape)
        title = f"{family.name}: {family.title}"
        grid = render_rows(HeadedRows(heads, [], rows, words=1))
        blocks.append("\n".join([*titled(title, "-"), grid]))
    count = len(shapes)
    total = folded([f"{count} shape{'' if count == 1 else 's'}, as tabulated, lightest first"])
    return "\n".join([*blocks, total])


def _heads(unit: str) -> list[str]:
    mass = unit_text(_weight(unit)[0])
    powers = [f"{symbol} {unit_power(unit, power)}" for symbol, power in _COLUMNS.values()]
    return [mass, f"depth {unit}", f"width {unit}", *powers]


def _list_row(listing: Listing, unit: str) -> list[str]:
    factor = Units(listing.unit).factor("length", unit)
    cells = [listing.designation, number(listing.weight * _weight_factor(listing, unit), 4)]
    cells += [number(v * factor, 4) for v in (listing.depth, listing.width)]
    for key, (_, power) in _COLUMNS.items():
        value = getattr(listing, key)
        cells.append("-" if value is None else number(value * factor**power, 4))
    return cells


def _solved_cells(shape: SolvedShape | None) -> list[str]:
    assert shape is not None
    j = next(c for c in shape.compared if c.key == "torsion_constant")
    return [number(j.solved, 5), percent(j.difference)]


def _weight(unit: str) -> tuple[str, float]:
    """Unit of a weight beside this length unit, and its factor from kg/m."""
    return ("lb/ft", 0.3048 / 0.45359237) if unit in ("in", "ft") else ("kg/m", 1.0)


def _weight_factor(listing: Listing, unit: str) -> float:
    return _weight(unit)[1] / _weight(listing.unit)[1]


def percent(ratio: float | None) -> str:
    """A relative difference in per cent: +0.31 %."""
    if ratio is None:
        return "-"
    text = f"{100 * ratio:+.2f}"
    return ("0.00" if float(text) == 0 else text) + " %"


def shape_detail(shape: SolvedShape) -> str:
    """One shape: dimensions, table beside solution, why they differ, and what only the solution
    gives."""
    listing, result = shape.listing, shape.result
    unit, size = result.unit, result.section.size()
    weight_unit = _weight(unit)[0]
    weight = listing.weight * _weight_factor(listing, unit)
    factor = Units(listing.unit).factor("length", unit)
    title = f"{listing.designation}: {listing.family.title}"
    lines = [
        *titled(title),
        "",
        *paragraph(
            f"depth {number(listing.depth * factor, 5)} {unit}, width "
            f"{number(listing.width * factor, 5)} {unit}, {number(weight, 4)} {weight_unit}"
        ),
        "",
    ]
    rows = [_compared_row(c, unit) for c in shape.compared]
    heads = ["", "", "table", "solved", "difference", ""]
    lines += render_rows(HeadedRows(heads, [], rows, words=2)).splitlines()
    warping = result.warping_properties
    shift = max(warping.shear_centre_change, result.solver.reached * size)
    x, y = (supported(float(c), shift) for c in result.shear_centre)
    cx, cy = (number(near_zero(float(c), size)) for c in result.centroid)
    interval = bounds(result.torsion_constant_lower, result.torsion_constant_upper)
    lines += [
        "",
        *paragraph(
            f"J is guaranteed to lie in {interval} {unit_power(unit, 4)}, for this outline."
        ),
        *paragraph(
            f"Shear centre ({x}, {y}) {unit}, centroid ({cx}, {cy}) {unit}, from the middle of the "
            "box."
        ),
        "",
        *titled("Why they differ", "-"),
        *_why(shape),
        "",
    ]
    for note in (*result.section.notes, caution.SECTION):
        lines += paragraph(note, "* ", "  ")
    return "\n".join(lines) + "\n"


def _compared_row(compared: Compared, unit: str) -> list[str]:
    words, symbol, power = QUANTITIES[compared.key]
    table = "-" if compared.table is None else number(compared.table, 5)
    solved = number(compared.solved)
    return [words, symbol, table, solved, percent(compared.difference), unit_power(unit, power)]


def _why(shape: SolvedShape) -> list[str]:
    """One line a reason, with the symbols it explains."""
    reasons: dict[str, list[str]] = {}
    for compared in shape.compared:
        if compared.why:
            symbol = QUANTITIES[compared.key][1].split(" =")[0]
            reasons.setdefault(compared.why, []).append(symbol)
    missing = [QUANTITIES[c.key][1].split(" =")[0] for c in shape.compared if c.table is None]
    if missing:
        reasons["the table has none"] = missing
    lines = []
    for why, symbols in reasons.items():
        text = f"{', '.join(symbols)}: {why}"
        lines += paragraph(text, "* ", "  ")
    return lines
