"""Every rolled shape solved, beside its table: spread of A, I_x, I_y, J and C_w by family.

Writes `catalogue_spread.md`. About two minutes in one process.

Run: python -m benchmarks.catalogue_spread
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from soapfilm.geometry.catalogue import FAMILIES, Listing, search
from soapfilm.geometry.moments import contour_moments
from soapfilm.solver.section import solve_section

#: Width asked of J's interval: far below what is compared.
ACCURACY = 2e-4
COLUMNS = ("A", "I_x", "I_y", "J", "C_w")
REPORT = Path(__file__).with_suffix(".md")
INTRODUCTION = """\
# Rolled shapes: solved values beside the tables

Deviation of the solved value from the tabulated one in percent: mean, least to largest (over all
rows of the family), and the shape with the largest. Written by the command
`python -m benchmarks.catalogue_spread`.
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


def deviations(entry: Listing) -> list[float]:
    """Solved over tabulated less 1, NaN where the table has no value."""
    section = entry.section()
    m = contour_moments(section.contours(), (0.0, 0.0))
    area = m[0, 0]
    result = solve_section(section, ACCURACY)
    if result.solver.reached > ACCURACY:
        raise RuntimeError(f"{entry.designation}: J only to {result.solver.reached:.1e}")
    pairs = (
        (area, entry.area),
        (m[0, 2] - m[0, 1] ** 2 / area, entry.second_moment_x),
        (m[2, 0] - m[1, 0] ** 2 / area, entry.second_moment_y),
        (result.torsion_constant, entry.torsion_constant),
        (result.warping_constant, entry.warping_constant),
    )
    return [solved / table - 1 if table else np.nan for solved, table in pairs]


def row(family: str) -> str:
    """The family's line of the table."""
    entries = search(family)
    off = 100 * np.array([deviations(entry) for entry in entries])
    cells = []
    for column in off.T:
        if np.isnan(column).all():
            cells.append("not tabulated")
            continue
        worst = entries[int(np.nanargmax(np.abs(column)))].designation
        mean, low, high = (f(column) for f in (np.nanmean, np.nanmin, np.nanmax))
        cells.append(f"{mean:+.2f}, {low:+.2f} to {high:+.2f} ({worst})")
    return f"| {family} | {len(entries)} | {' | '.join(cells)} |"


def main() -> None:
    """Solve all families and write the report."""
    lines = []
    for family in FAMILIES:
        lines.append(row(family))
        print(lines[-1], flush=True)
    head = INTRODUCTION.format(columns=" | ".join(COLUMNS), rule=" | ".join("---" for _ in COLUMNS))
    REPORT.write_text(head + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
