"""Colours of the figures: perceptually uniform, light to dark, safe for colour-blind readers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from matplotlib.colors import Colormap

#: Share of viridis used for stress, from light to dark; lines would vanish on its darkest end.
_LIGHT, _DARK = 1.0, 0.12

#: Colours that tell cases apart, in the order in which every figure takes them: distinct in
#: lightness as well as hue (Okabe and Ito, Color Universal Design, 2008, for any colour vision).
SERIES = ("#0072b2", "#e69f00", "#009e73", "#cc79a7", "#56b4e9", "#d55e00", "#999999", "#f0e442")
#: The line that matters among others, darker than any of them.
SHOWN = "#0b3c6f"


def stress_colours() -> Colormap:
    """Light yellow for no stress to dark blue for the greatest; beyond it darker still."""
    from matplotlib import colormaps
    from matplotlib.colors import ListedColormap

    table = colormaps["viridis"](np.linspace(_LIGHT, _DARK, 256))
    return ListedColormap(table, name="soapfilm stress").with_extremes(over="#30003b")


def warping_colours() -> Colormap:
    """Blue for away from the reader, red for toward: a diverging map of even lightness steps."""
    from matplotlib import colormaps

    return colormaps["coolwarm"]


#: Fills that stay apart in print and for colour-blind readers: blue, sand, grey, rose, green,
#: violet, all light enough for dark text.
_FILLS = ("#9db8d2", "#e3cfa0", "#c9c9c9", "#dfa8a0", "#a9cba4", "#c3b1d8")


def material_fill(rank: int) -> str:
    """Fill colour of the material with this number; the colours repeat after six."""
    return _FILLS[rank % len(_FILLS)]
