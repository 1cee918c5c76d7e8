"""A sketch of the twisted member seen from the side and above, with its loads and supports.

Not to scale: sections, twist and deflection are enlarged by factors that the figure states.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..drawing import palette
from . import marks as member_marks
from .solid import Carrier, Drawn, Shell, shells
from .view import View, exaggeration

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Stations along the member.
_STATIONS = 90
#: Faces of a member without stresses.
_PLAIN = "#b9cbdc"


def sketch(axes: Axes, assessment: Assessment, combination: int) -> tuple[Drawn, float | None]:
    """Draw the member under a combination; returns how much is exaggerated and the stress at the
    dark end of the colours (None where there is no stress)."""
    member = assessment.solution.mesh.member
    table = assessment.table
    u, v, phi = (getattr(table, w)[:, combination] for w in ("u", "v", "phi"))
    drawn = exaggeration(assessment, combination)
    carrier = Carrier(member.axis, member.line, table.z, u, v, phi, drawn)
    x, z, _ = member.axis.plan([0.0, member.length])
    view = View(0.0 if member.axis.closed else float(np.arctan2(x[1] - x[0], z[1] - z[0])))
    found = shells(assessment, carrier, combination, _STATIONS)
    top = None
    if all(shell.stress is not None for shell in found):
        top = max(float(np.quantile(s.stress, 0.999)) for s in found if s.stress is not None)
    colours = palette.stress_colours()
    member_marks.unloaded(axes, assessment, carrier, view)
    _faces(axes, found, view, colours, top)
    if not member.axis.closed:
        member_marks.cut_end(axes, assessment, carrier, view)
    member_marks.supports(axes, assessment, carrier, view)
    member_marks.tendons(axes, assessment, carrier, view)
    member_marks.loads(axes, assessment, carrier, view, combination)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.margins(0.05, 0.06)
    return drawn, top


def _faces(
    axes: Axes, found: list[Shell], view: View, colours: Colormap, top: float | None
) -> None:
    """Faces that look at the viewer, the farthest first."""
    from matplotlib.collections import PolyCollection
    from matplotlib.colors import to_rgb

    corners, shades, stresses = [], [], []
    for shell in found:
        page = view.page(shell.space)
        on = np.roll(page, -1, axis=1)
        quads = np.stack([page[:-1], on[:-1], on[1:], page[1:]], axis=2)
        quads = quads.reshape(-1, 4, 3)
        first, second = quads[:, 1] - quads[:, 0], quads[:, 3] - quads[:, 0]
        normal = np.cross(first, second)
        size = np.linalg.norm(normal, axis=1)
        size[size == 0] = 1.0
        normal /= size[:, None]
        corners.append(quads)
        shades.append(normal)
        if shell.stress is not None:
            s = shell.stress
            s = np.maximum(s, np.roll(s, -1, axis=1))
            stresses.append(((s[:-1] + s[1:]) / 2).ravel())
    quads, normal = np.concatenate(corners), np.concatenate(shades)
    seen = normal[:, 2] > 0
    order = np.flatnonzero(seen)[np.argsort(quads[seen, :, 2].mean(axis=1))]
    light = np.clip(normal @ np.array([-0.25, 0.75, 0.6]), 0.0, 1.0)
    if top:
        base = np.asarray(colours(np.clip(np.concatenate(stresses) / top, 0, 1)))[:, :3]
    else:
        base = np.broadcast_to(to_rgb(_PLAIN), (len(quads), 3))
    shade = base * (0.72 + 0.28 * light[:, None])
    axes.add_collection(
        PolyCollection(
            list(quads[order, :, :2]),
            facecolors=shade[order],
            edgecolors=shade[order],
            linewidths=0.3,
            zorder=3,
            rasterized=True,
        )
    )
    axes.update_datalim(quads[..., :2].reshape(-1, 2))
