"""IFC profiles made from others: derived by a transformation, mirrored, or along a centre line.

Attribute orders and the base axes of a transformation operator are those of IFC4, from memory of
the standard.
"""

from __future__ import annotations

import numpy as np

from ..errors import FileFormatError
from ..outline.biarc import Curve
from ..outline.contour import arc_circles
from ..plates.offset import offset_path
from ..plates.path import Path
from ..plates.strip import Strip
from .curves import elliptic_edges
from .ifc_curves import CurveReader, number, pair, unit
from .step import Instance, Value
from .stroke import Array, Stroke
from .svg_transform import Affine

DERIVED, MIRRORED, CENTRE_LINE = (
    "IFCDERIVEDPROFILEDEF",
    "IFCMIRROREDPROFILEDEF",
    "IFCCENTERLINEPROFILEDEF",
)
_OPERATORS = (
    "IFCCARTESIANTRANSFORMATIONOPERATOR2D",
    "IFCCARTESIANTRANSFORMATIONOPERATOR2DNONUNIFORM",
)


def operator_of(curves: CurveReader, profile: Instance) -> Affine:
    """The map from a derived or mirrored profile's parent to itself."""
    if profile.word == MIRRORED:
        return Affine.of(-1, 0, 0, 1)
    operator = curves.file.follow(profile.values[3], profile)
    if operator.word not in _OPERATORS or len(operator.values) < 4:
        raise FileFormatError(
            f"#{operator.number} {operator.word} is no transformation in the plane"
        )
    v = operator.values
    x, y = _base_axes(curves, v[0], v[1], operator)
    scale = 1.0 if v[3] is None else number(v[3], operator)
    across = number(v[4], operator) if len(v) > 4 and v[4] is not None else scale
    if not (scale > 0 and across > 0):
        raise FileFormatError(
            f"#{operator.number} scales by {min(scale, across):g}; a scale must be positive"
        )
    return Affine(np.stack([scale * x, across * y], axis=1), curves.point(v[2], operator))


def _base_axes(
    curves: CurveReader, first: Value, second: Value, owner: Instance
) -> tuple[Array, Array]:
    """The standard's IfcBaseAxis in the plane: the second axis decides on which side y lies."""
    ways: list[Array | None] = []
    for value in (first, second):
        if value is None:
            ways.append(None)
            continue
        way = curves.file.follow(value, owner)
        ways.append(unit(pair((way.values or [None])[0], way), way))
    if ways[0] is not None:
        x = ways[0]
        y = np.array([-x[1], x[0]])
        return x, -y if ways[1] is not None and ways[1] @ y < 0 else y
    y = np.array([0.0, 1.0]) if ways[1] is None else ways[1]
    return np.array([y[1], -y[0]]), y


def mapped(strokes: list[Stroke], affine: Affine) -> list[Stroke]:
    """The strokes under a map; one that scales x and y differently makes circular arcs elliptic."""
    return [_mapped(stroke, affine) for stroke in strokes]


def _mapped(stroke: Stroke, affine: Affine) -> Stroke:
    m = affine.matrix
    size = np.linalg.norm(m[:, 0])
    even = abs(size - np.linalg.norm(m[:, 1])) + abs(m[:, 0] @ m[:, 1]) / size < 1e-12 * size
    points = affine.points(stroke.points)
    curves = {k: _image(affine, curve) for k, curve in stroke.curves.items()}
    if even or not stroke.bulges.any():
        return stroke.replaced(points, np.sign(np.linalg.det(m)) * stroke.bulges, curves)
    rows, bent = [points[:1]], dict[int, Curve]()
    bulges: list[float] = []
    for k, bulge in enumerate(stroke.bulges):
        if not bulge:
            if k in curves:
                bent[len(bulges)] = curves[k]
            rows.append(points[k + 1 : k + 2])
            bulges.append(0.0)
            continue
        start, end = stroke.points[k : k + 1], stroke.points[k + 1 : k + 2]
        centre, radius = arc_circles(start, end, stroke.bulges[k : k + 1])
        at = np.arctan2(*(start - centre)[0, ::-1])
        u, v = radius[0] * m[:, 0], radius[0] * m[:, 1]
        run, flat, own = elliptic_edges(
            affine.points(centre)[0], u, v, float(at), float(4 * np.arctan(bulge))
        )
        run[-1] = points[k + 1]
        bent.update({len(bulges) + j: curve for j, curve in own.items()})
        rows.append(run[1:])
        bulges += flat.tolist()
    return stroke.replaced(np.vstack(rows), np.array(bulges), bent)


def _image(affine: Affine, curve: Curve) -> Curve:
    def image(t: Array) -> tuple[Array, Array]:
        points, ways = curve(t)
        return affine.points(points), ways @ affine.matrix.T

    return image


def along_centre_line(strokes: list[Stroke], thickness: float, group: str) -> list[Stroke]:
    """Outline of a wall of even thickness along a curve given as strokes in order."""
    line = strokes[0]
    for other in strokes[1:]:
        if not np.allclose(line.points[-1], other.points[0], rtol=0, atol=1e-9 * _size(line)):
            raise FileFormatError(
                f"{group}: the segments of the centre line do not follow each other; redraw it"
            )
        line = Stroke(
            np.vstack([line.points, other.points[1:]]),
            np.append(line.bulges, other.bulges),
            curves={**line.curves, **{k + len(line): c for k, c in other.curves.items()}},
        )
    if line.curves:
        raise FileFormatError(f"{group}: a centre line of lines and circular arcs is read only")
    if not thickness > 0:
        raise FileFormatError(f"{group}: the thickness {thickness:g} is not positive")
    path = Path(line.points, line.bulges)
    ring = bool(np.hypot(*(path.points[0] - path.points[-1])) <= 1e-9 * _size(line))
    half = np.full(len(path.points), thickness / 2)
    left, right = (offset_path(path, side * half, closed=ring) for side in (1, -1))
    return [
        Stroke(
            np.vstack([contour.points, contour.points[:1]]),
            contour.bulges,
            group=group,
            source=f"{group} CENTERLINE",
            closed=True,
        )
        for contour in Strip(path, left, right, ring).contours()
    ]


def _size(stroke: Stroke) -> float:
    return float(np.hypot(*np.ptp(stroke.points, axis=0)))
