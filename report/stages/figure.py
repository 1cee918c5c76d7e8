"""The figure of a staged member: twist, deflection and stress after each stage, along it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.member.review.greatest import greatest
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.palette import SERIES, SHOWN
from ..member.units import MemberUnits
from ..text.number import number

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.staged.assessment import StagedAssessment

Array = NDArray[np.float64]

#: Each colour with a dash of its own; the last stage is what matters.
_LINES = (
    (SERIES[1], (1.0, 1.2)),
    (SERIES[2], (5.0, 1.5)),
    (SERIES[3], (3.0, 1.2, 1.0, 1.2)),
    (SERIES[4], (8.0, 2.0)),
    (SHOWN, ()),
)
_PAGE = (8.27, 8.6)


def plot_stages(staged: StagedAssessment, combination: int | None = None) -> Axes:
    """Draw what stands after each stage.

    Parameters
    ----------
    staged : StagedAssessment
    combination : int, optional
        The one shown; left out: that with the largest twist in the end.

    Returns
    -------
    Axes
        The first panel; its figure is what is saved.
    """
    from matplotlib.figure import Figure

    units = MemberUnits(staged.request.units)
    last = staged.stages[-1]
    shown = combination
    if shown is None:
        (shown,) = greatest(np.abs(last.twist).max(axis=0))
    with style():
        page = Figure(figsize=_PAGE, facecolor=drafting.PAPER)
        panels = page.subplots(3, 1, sharex=True)
        page.subplots_adjust(left=0.11, right=0.97, top=0.87, bottom=0.08, hspace=0.34)
        page.text(0.11, 0.955, staged.request.member.name, fontsize=13, weight="bold")
        page.text(
            0.11,
            0.925,
            f"after each of {len(staged.stages)} stages, combination \u201c{staged.names[shown]}"
            "\u201d",
            fontsize=9,
        )
        titles = (
            ("twist \u03c6", "angle"),
            ("deflection of the shear centre v", "displacement"),
            ("largest von Mises stress \u03c3_v", "stress"),
        )
        for k, (panel, (words, quantity)) in enumerate(zip(panels, titles, strict=True)):
            for n, result in enumerate(staged.stages):
                z, values = _curve(staged, n, k, int(shown))
                if z is None or values is None:
                    continue
                colour, dashes = _style(n, len(staged.stages))
                largest = float(values[np.abs(values).argmax()]) * units.factor(quantity)
                panel.plot(
                    z * units.factor("along"),
                    values * units.factor(quantity),
                    color=colour,
                    dashes=dashes or (None, None),
                    lw=1.6,
                    label=f"{result.stage.name} ({number(largest, 4)})",
                )
            panel.axhline(0.0, color="#7a8794", lw=0.6)
            panel.set_title(
                f"{words} ({units.unit(quantity)})".replace("_v", "\u1d65"), loc="left", fontsize=9
            )
            panel.tick_params(labelsize=8)
            panel.legend(
                fontsize=7.5, frameon=False, loc="lower right", bbox_to_anchor=(1.0, 0.98),
                ncols=max(1, len(staged.stages)), borderaxespad=0.0, handlelength=3.2,
            )  # fmt: skip
        panels[-1].set_xlabel(f"along the member ({units.unit('along')})", fontsize=8)
        panels[-1].set_xlim(0.0, float(last.z[-1]) * units.factor("along"))
    return panels[0]  # type: ignore[no-any-return]


def _curve(
    staged: StagedAssessment, number_: int, panel: int, c: int
) -> tuple[Array | None, Array | None]:
    result = staged.stages[number_]
    if panel == 0:
        return result.z, result.twist[:, c]
    if panel == 1:
        return result.z, result.moved["shear_centre"][1][:, c]
    if result.stress is None:
        return None, None
    return result.stress.z, result.stress.mises[:, c]


def _style(n: int, count: int) -> tuple[str, tuple[float, ...]]:
    """The last stage in the dark full line, those before in their order."""
    return _LINES[-1] if n == count - 1 else _LINES[n % (len(_LINES) - 1)]
