"""Flange slopes and fillets of the miscellaneous channels (MC), which no column of the table gives.

Channels of one depth, flange thickness and outstand come from the same rolls, so they share slope
and fillet. The slope follows from the tabulated I_y (a slope of 1:6 moves it by some 20 %), the
fillet from the tabulated area; both are fitted to the sums over a group, which averages the
rounding of single rows. I_x, J and the centroid are not used and serve as checks. Prints the
columns `slope` and `r` that `geometry/catalogue/data/mc.csv` holds.

Run: python benchmarks/channel_slopes.py
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import groupby

from scipy.optimize import brentq
from soapfilm.geometry.catalogue.table import table_rows
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.profiles.by_name import PROFILES

Row = Mapping[str, float]


def channel(row: Row, slope: float, radius: float) -> tuple[float, float]:
    """Area and I_y of a channel with this slope (a tangent) and fillet."""
    profile = PROFILES["UShape"](
        depth=row["d"],
        flange_width=row["bf"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=radius,
        flange_slope=math.atan(slope),
    )
    m = contour_moments([profile.outline], (0.0, 0.0))
    return float(m[0, 0]), float(m[2, 0] - m[1, 0] ** 2 / m[0, 0])


def excess(rows: list[Row], slope: float, radius: float) -> tuple[float, float]:
    """How far the summed area and I_y of a group exceed the table's, relatively."""
    built = [channel(row, slope, radius) for row in rows]
    area, inertia = (sum(values) for values in zip(*built, strict=True))
    return area / sum(r["area"] for r in rows) - 1, inertia / sum(r["Iy"] for r in rows) - 1


def fit(rows: list[Row]) -> tuple[float, float]:
    """Slope and fillet radius of a group."""

    def radius_for(slope: float) -> float:
        largest = 2 * rows[0]["tf"]
        return float(brentq(lambda r: excess(rows, slope, r)[0], 1e-6, largest, xtol=1e-7))

    slope = brentq(lambda s: excess(rows, s, radius_for(s))[1], 1e-4, 0.2, xtol=1e-7)
    return float(slope), radius_for(float(slope))


def rolls(row: Row) -> tuple[float, float, float]:
    """What channels of the same rolls share: depth, flange thickness and (to rounding) the
    outstand."""
    return row["d"], row["tf"], round((row["bf"] - row["tw"]) / 0.03)


def main() -> None:
    for _, members in groupby(table_rows("mc"), key=lambda item: rolls(item[1])):
        group = list(members)
        slope, radius = fit([row for _, row in group])
        for name, _ in group:
            print(f"{name},{slope:.4f},{radius:.3f}")


if __name__ == "__main__":
    main()
