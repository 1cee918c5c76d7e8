"""The five benchmark sections, in millimetres: invented dimensions that cover the hard features.

Sharp re-entrant corner (L), root fillets (I), rounded closed tube, two cells with sharp inner
corners, and a tapered deck whose cell has walls of uneven thickness. Every arc is exact.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section

#: Bulge of a quarter circle that turns anticlockwise: tan(pi/8).
QUARTER = float(np.tan(np.pi / 8))


def angle() -> Section:
    """L: a square of side 100 less its upper right quarter (the classic re-entrant domain)."""
    outline = Contour([[0, 0], [100, 0], [100, 50], [50, 50], [50, 100], [0, 100]])
    return Section.single(outline, name="L", unit="mm")


def i_shape() -> Section:
    """I: 300 deep, 150 wide, flanges 10.7, web 7.1, root fillets of 15; origin at its centre."""
    h, b, t, s, r = 150.0, 75.0, 10.7, 3.55, 15.0
    # The right half from bottom to top; the left half is the same turned by half a turn.
    right = [[b, -h], [b, -h + t], [s + r, -h + t], [s, -h + t + r], [s, h - t - r], [s + r, h - t]]
    right += [[b, h - t], [b, h]]
    bulges = [0, 0, -QUARTER, 0, -QUARTER, 0, 0, 0]
    half = np.array(right)
    return Section.single(Contour(np.vstack([half, -half]), bulges * 2), name="I", unit="mm")


def rounded_box(width: float, height: float, radius: float) -> Contour:
    """A rectangle about the origin with rounded corners."""
    x, y, r = width / 2, height / 2, radius
    half = np.array([[x - r, -y], [x, -y + r], [x, y - r], [x - r, y]])
    return Contour(np.vstack([half, -half]), [QUARTER, 0, QUARTER, 0] * 2)


def tube() -> Section:
    """Rectangular tube 200 x 100, wall 8, corner radii 12 and 4; origin at its centre."""
    return Section.single(
        rounded_box(200, 100, 12), [rounded_box(184, 84, 4)], name="rectangular tube", unit="mm"
    )


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Contour:
    """An upright rectangle between two corners."""
    return Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


def two_cell_box() -> Section:
    """Box 400 x 200, walls 10, inner web of 10 centred 60 left of the origin at its centre."""
    holes = [rectangle(-190, -90, -65, 90), rectangle(-55, -90, 190, 90)]
    return Section.single(rectangle(-200, -100, 200, 100), holes, name="two-cell box", unit="mm")


def tapered_deck() -> Section:
    """A 12 m deck, tapered cantilevers over a trapezoidal cell; origin amid its top."""
    half = [[-6000, -200], [-2500, -450], [-1800, -1800]]
    outline = [*half, *([-x, y] for x, y in reversed(half)), [6000, 0], [-6000, 0]]
    cell = [[-1560, -1600], [1560, -1600], [2150, -250], [-2150, -250]]
    return Section.single(Contour(outline), [Contour(cell)], name="tapered deck", unit="mm")


#: Short key of each benchmark section and the function that builds it.
SECTIONS: dict[str, Callable[[], Section]] = {
    "L": angle,
    "I": i_shape,
    "tube": tube,
    "two_cell_box": two_cell_box,
    "tapered_deck": tapered_deck,
}
