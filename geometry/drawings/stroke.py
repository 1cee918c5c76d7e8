"""What a drawing holds before contours are made of it: strokes, each a run of edges on one
layer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..errors import FileFormatError
from ..outline.biarc import Curve
from ..outline.contour import arc_extremes
from .bounds import MAX_BULGE, MAX_COORDINATE

Array = NDArray[np.float64]

#: Below this bulge an arc leaves its chord by less than the rounding of its end points.
_FLAT = 1e-15


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A run of edges, open or closed, as a drawing gives it.

    Attributes
    ----------
    points : (n + 1, 2) float array
        Vertices in order; those of a closed stroke end where they began.
    bulges : (n,) float array
        Bulge of each edge (see `contour`).
    layer : str
        Name of the part it belongs to.
    group : str
        Strokes of one group alternate between solid and hole when nested; the layer unless given.
    source : str
        What it is called in the file, for messages.
    closed : bool
        True when the file itself says that the stroke closes.
    curves : mapping of int to Curve
        Edges that are neither straight nor circular, to be fitted with arcs; parameters 0 to 1.
    """

    points: Array
    bulges: Array
    layer: str = ""
    group: str = ""
    source: str = ""
    closed: bool = False
    curves: Mapping[int, Curve] = field(default_factory=dict)

    def __init__(
        self,
        points: ArrayLike,
        bulges: ArrayLike | None = None,
        *,
        layer: str = "",
        group: str | None = None,
        source: str = "edge",
        closed: bool = False,
        curves: Mapping[int, Curve] | None = None,
    ) -> None:
        layer, source = printable(layer), printable(source)
        p = np.array(points, dtype=float).reshape(-1, 2)
        b = np.zeros(len(p) - 1) if bulges is None else np.array(bulges, dtype=float)
        bad = ~(np.abs(p) <= MAX_COORDINATE).all(axis=1)
        if bad.any():
            x, y = p[bad][0]
            raise FileFormatError(
                f"{source}{on_layer(layer)}: the point ({x:g}, {y:g}) is not a usable coordinate; "
                f"coordinates must be numbers up to {MAX_COORDINATE:g}"
            )
        bent = ~(np.abs(b) <= MAX_BULGE)
        if bent.any():
            raise FileFormatError(
                f"{source}{on_layer(layer)}: bulge {b[bent][0]:g} is not usable; redraw the arc"
            )
        b[np.abs(b) < _FLAT] = 0.0
        object.__setattr__(self, "points", p)
        object.__setattr__(self, "bulges", b)
        object.__setattr__(self, "layer", layer)
        object.__setattr__(self, "group", layer if group is None else group)
        object.__setattr__(self, "source", source)
        object.__setattr__(self, "closed", closed)
        object.__setattr__(self, "curves", dict(curves or {}))

    def __len__(self) -> int:
        return len(self.bulges)

    def extent(self) -> Array:
        """(m, 2) points that span the stroke: vertices, extremes of arcs, samples of curves."""
        t = np.linspace(0.0, 1.0, 9)
        samples = [curve(t)[0] for curve in self.curves.values()]
        extremes = arc_extremes(self.points[:-1], self.points[1:], self.bulges)
        return np.vstack([self.points, extremes, *samples])

    def replaced(
        self, points: Array, bulges: Array, curves: Mapping[int, Curve] | None = None
    ) -> Stroke:
        """The same stroke with other edges."""
        return Stroke(
            points,
            bulges,
            layer=self.layer,
            group=self.group,
            source=self.source,
            closed=self.closed,
            curves=curves,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """All strokes of a file, with its unit and what its reader has to say."""

    strokes: tuple[Stroke, ...]
    unit: str
    name: str = "section"
    notes: tuple[str, ...] = ()


def printable(name: str) -> str:
    """A name from a file, fit for a message: no line breaks, no bytes that were no text."""
    return name if name.isprintable() else "".join(c if c.isprintable() else " " for c in name)


def on_layer(layer: str) -> str:
    """ " on layer L", or nothing where the drawing has no layers."""
    return f" on layer {layer!r}" if layer else ""
