"""Every rolled shape solved, beside its table: spread of A, I_x, I_y, J and C_w by family.

Writes `catalogue_spread.md`. Some minutes in one process. Stops at the first row that makes no
valid section, or whose interval for J is not as narrow as asked for.

Run: make catalogue
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from soapfilm.geometry.catalogue import FAMILIES, Listing, search
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.solver.section import solve_section

#: Width asked of J's interval: far below what is compared.
ACCURACY = 2e-4
COLUMNS = ("A", "I_x", "I_y", "J", "C_w")
REPORT = Path(__file__).with_suffix(".md")
INTRODUCTION = """\
# Rolled shapes: solved values beside the tables

{count} rows: every one makes a valid section, and its J lies in a guaranteed interval of relative
width {width:.0e} at most. Below, the deviation of the solved value from the tabulated one in
percent: mean, least to largest (over all rows of the family), and the shape with the largest.
Written by `make catalogue`. `soapfilm shapes W10X49` shows one row with its interval.
What the tables do themselves explains most of it:

- **A, I_x, I_y**: three-digit dimensions and properties. The heavy pipes' properties belong to a
  wall of 0.9, not 0.93 of the nominal one; areas of some thin angles leave the fillet out.
- **J**: the tables use fitted formulas for open shapes (fillets and junctions as inscribed circles)
  and Bredt's for rectangular tubes. For angles of 6 x 4 and 3 in legs and for light bearing piles
  the table's k is a detailing distance; their real fillet is smaller.
- **C_w**: centreline formulas without fillets and with flanges of even thickness. Channels and S
  shapes have tapered ones, whose thin edges warp most: up to a quarter less. For tees and angles a
  thin-walled formula of plates, whatever their thickness.

| family | rows | {columns} |
| --- | --- | {rule} |
"""


def deviations(entry: Listing) -> tuple[list[float], float]:
    """Solved over tabulated less 1, NaN where the table has no value; relative width of J."""
    section = entry.section()
    m = contour_moments(section.contours(), (0.0, 0.0))
    area = m[0, 0]
    result = solve_section(section, ACCURACY)
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    width = upper / lower - 1
    if not 0 <= width <= ACCURACY * (1 + ACCURACY):
        raise RuntimeError(f"{entry.designation}: J from {lower:.9g} to {upper:.9g}")
    pairs = (
        (area, entry.area),
        (m[0, 2] - m[0, 1] ** 2 / area, entry.second_moment_x),
        (m[2, 0] - m[1, 0] ** 2 / area, entry.second_moment_y),
        (result.torsion_constant, entry.torsion_constant),
        (result.warping_constant, entry.warping_constant),
    )
    return [solved / table - 1 if table else np.nan for solved, table in pairs], width


def row(family: str) -> tuple[str, int, float]:
    """The family's line of the table, its number of shapes and the widest interval."""
    entries = search(family)
    solved = [deviations(entry) for entry in entries]
    off = 100 * np.array([differences for differences, _ in solved])
    cells = []
    for column in off.T:
        if np.isnan(column).all():
            cells.append("not tabulated")
            continue
        worst = entries[int(np.nanargmax(np.abs(column)))].designation
        mean, low, high = (f(column) for f in (np.nanmean, np.nanmin, np.nanmax))
        cells.append(f"{mean:+.2f}, {low:+.2f} to {high:+.2f} ({worst})")
    line = f"| {family} | {len(entries)} | {' | '.join(cells)} |"
    return line, len(entries), max(width for _, width in solved)


def main() -> None:
    """Solve all families and write the report."""
    lines, count, width = [], 0, 0.0
    for family in FAMILIES:
        line, rows, widest = row(family)
        lines.append(line)
        count, width = count + rows, max(width, widest)
        print(line, flush=True)
    head = INTRODUCTION.format(
        count=count,
        width=width,
        columns=" | ".join(COLUMNS),
        rule=" | ".join("---" for _ in COLUMNS),
    )
    REPORT.write_text(head + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
