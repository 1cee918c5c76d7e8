"""Curves of IFC profiles as strokes: polylines, indexed curves, composite curves, circles,
ellipses, trimmed parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, check_count
from .curves import elliptic_edges
from .step import Enum, Instance, Ref, StepFile, Typed, Value
from .stroke import Array, Stroke


@dataclass(frozen=True, slots=True)
class CurveReader:
    """Reads the curves of one profile.

    Attributes
    ----------
    file : StepFile
    group : str
        Group of the strokes: outer and inner curves of a profile alternate.
    angle : float
        Radians in the file's unit of plane angles.
    """

    file: StepFile
    group: str
    angle: float = 1.0

    def strokes(self, value: Value, owner: Instance, depth: int = 0) -> list[Stroke]:
        """Strokes of the curve that a value of `owner` refers to."""
        check_count(depth, MAX_DEPTH, "nested curves")
        curve = self.file.follow(value, owner)
        name = f"#{curve.number} {curve.word}"
        v = curve.values
        if curve.word == "IFCPOLYLINE" and len(v) == 1:
            return [self._stroke([self.point(p, curve) for p in listed(v[0], curve)], name)]
        if curve.word == "IFCINDEXEDPOLYCURVE" and len(v) >= 2:
            return [self._indexed(curve, name)]
        if curve.word in ("IFCCOMPOSITECURVE", "IFC2DCOMPOSITECURVE") and v:
            return self._composite(curve, depth)
        if curve.word in ("IFCCIRCLE", "IFCELLIPSE"):
            return [self._conic(curve, 0.0, 2 * np.pi, name)]
        if curve.word == "IFCTRIMMEDCURVE" and len(v) == 5:
            return [self._trimmed(curve, name)]
        raise FileFormatError(
            f"{name} is no curve that can be read; use polylines, indexed or composite curves, "
            "circles, ellipses"
        )

    def _stroke(self, points: list[Array], name: str) -> Stroke:
        if len(points) < 2:
            raise FileFormatError(f"{name} has {len(points)} points; an outline needs three")
        return Stroke(np.array(points), group=self.group, source=name)

    def _composite(self, curve: Instance, depth: int) -> list[Stroke]:
        """Its segments, in whatever sense: they are joined end to end later."""
        out: list[Stroke] = []
        for item in listed(curve.values[0], curve):
            segment = self.file.follow(item, curve)
            if not segment.word.endswith("COMPOSITECURVESEGMENT") or len(segment.values) < 3:
                raise FileFormatError(
                    f"#{segment.number} {segment.word} is no segment of a composite curve"
                )
            out += self.strokes(segment.values[2], segment, depth + 1)
            check_count(len(out), 10_000, "segments in a composite curve")
        return out

    def _indexed(self, curve: Instance, name: str) -> Stroke:
        table = self.file.follow(curve.values[0], curve)
        points = np.array([pair(row, table) for row in listed((table.values or [None])[0], table)])
        if curve.values[1] is None:
            return self._stroke(list(points), name)
        run: list[Array] = []
        bulges: list[float] = []
        for segment in listed(curve.values[1], curve):
            index = self._indices(segment, curve, len(points))
            corner = points[index]
            run = run or [corner[0]]
            if isinstance(segment, Typed) and segment.word == "IFCARCINDEX":
                bulges.append(bulge_through(corner, name))
                run.append(corner[2])
            else:
                bulges += [0.0] * (len(index) - 1)
                run += list(corner[1:])
        if len(run) < 2:
            raise FileFormatError(f"{name} has no segments; an outline needs two")
        return Stroke(np.array(run), bulges, group=self.group, source=name)

    def _indices(self, segment: Value, curve: Instance, count: int) -> list[int]:
        """Zero-based point numbers of a segment."""
        arc = isinstance(segment, Typed) and segment.word == "IFCARCINDEX"
        if (
            isinstance(segment, Typed)
            and segment.word in ("IFCARCINDEX", "IFCLINEINDEX")
            and segment.values
        ):
            numbers = listed(segment.values[0], curve)
            index = [int(n) - 1 for n in numbers if isinstance(n, (int, float)) and n == n // 1]
            right = len(index) == 3 if arc else len(index) >= 2
            if right and len(index) == len(numbers) and all(0 <= i < count for i in index):
                return index
        raise FileFormatError(
            f"#{curve.number} {curve.word} has a segment that names no points "
            f"of its list of {count}"
        )

    def _conic(self, curve: Instance, start: float, sweep: float, name: str) -> Stroke:
        centre, x, y = self.axes(curve.values[0] if curve.values else None, curve)
        count = 1 if curve.word == "IFCCIRCLE" else 2
        radii = [number(v, curve) for v in curve.values[1 : 1 + count]]
        if len(radii) != count:
            raise FileFormatError(f"{name} lacks a radius")
        points, bulges, curves = elliptic_edges(centre, radii[0] * x, radii[-1] * y, start, sweep)
        whole = abs(sweep) == 2 * np.pi
        return Stroke(points, bulges, group=self.group, source=name, closed=whole, curves=curves)

    def _trimmed(self, curve: Instance, name: str) -> Stroke:
        basis = self.file.follow(curve.values[0], curve)
        trims = [listed(v, curve) for v in curve.values[1:3]]
        forward = curve.values[3] != Enum("F")
        if basis.word == "IFCLINE" and len(basis.values) == 2:
            return self._stroke([self._on_line(basis, trim, curve) for trim in trims], name)
        if basis.word not in ("IFCCIRCLE", "IFCELLIPSE"):
            raise FileFormatError(
                f"{name} trims {basis.word}; only lines, circles and ellipses can be read"
            )
        first, last = (self._on_conic(basis, trim, curve) for trim in trims)
        sweep = (last - first if forward else first - last) % (2 * np.pi) or 2 * np.pi
        return self._conic(basis, first, sweep if forward else -sweep, name)

    def _on_line(self, line: Instance, trim: list[Value], owner: Instance) -> Array:
        for value in trim:
            if isinstance(value, Ref):
                return self.point(value, owner)
        start = self.point(line.values[0], line)
        vector = self.file.follow(line.values[1], line)
        way = self.file.follow(vector.values[0] if vector.values else None, vector)
        d = pair((way.values or [None])[0], way)
        length = number(vector.values[1] if len(vector.values) > 1 else None, vector)
        return np.asarray(start + parameter(trim, owner) * length * unit(d, way))

    def _on_conic(self, conic: Instance, trim: list[Value], owner: Instance) -> float:
        """Parameter of a trimming point; the point is preferred, its digits are the outline's."""
        for value in trim:
            if isinstance(value, Ref):
                centre, x, y = self.axes(conic.values[0] if conic.values else None, conic)
                r = self.point(value, owner) - centre
                a, b = number(conic.values[1], conic), number(conic.values[-1], conic)
                return float(np.arctan2(r @ y / b, r @ x / a))
        return parameter(trim, owner) * self.angle

    def axes(self, value: Value, owner: Instance) -> tuple[Array, Array, Array]:
        """Origin, x and y direction of an IfcAxis2Placement2D; the plane's own where there is
        none."""
        if value is None:
            return np.zeros(2), np.array([1.0, 0.0]), np.array([0.0, 1.0])
        placement = self.file.follow(value, owner)
        if placement.word != "IFCAXIS2PLACEMENT2D" or not placement.values:
            raise FileFormatError(
                f"#{placement.number} {placement.word} is no placement in the plane"
            )
        origin = self.point(placement.values[0], placement)
        x = np.array([1.0, 0.0])
        if len(placement.values) > 1 and placement.values[1] is not None:
            way = self.file.follow(placement.values[1], placement)
            x = unit(pair((way.values or [None])[0], way), way)
        return origin, x, np.array([-x[1], x[0]])

    def point(self, value: Value, owner: Instance) -> Array:
        """Coordinates of an IfcCartesianPoint."""
        point = self.file.follow(value, owner)
        if point.word != "IFCCARTESIANPOINT" or not point.values:
            raise FileFormatError(f"#{point.number} {point.word} is no point")
        return pair(point.values[0], point)


def listed(value: Value, owner: Instance) -> list[Value]:
    """A list of values."""
    if not isinstance(value, list):
        raise FileFormatError(f"#{owner.number} {owner.word} lacks a list")
    return value


def pair(value: Value, owner: Instance) -> Array:
    """Two coordinates (a third one must be zero: profiles are plane)."""
    numbers = [number(v, owner) for v in listed(value, owner)]
    if len(numbers) not in (2, 3) or (len(numbers) == 3 and numbers[2] != 0):
        raise FileFormatError(f"#{owner.number} {owner.word} is not in the plane: {numbers[:4]}")
    return np.array(numbers[:2])


def number(value: Value, owner: Instance) -> float:
    """A number, bare or with its measure."""
    if isinstance(value, Typed) and len(value.values) == 1:
        value = value.values[0]
    if not isinstance(value, (int, float)) or not abs(value) < float("inf"):
        raise FileFormatError(f"#{owner.number} {owner.word} lacks a number where one is needed")
    return float(value)


def parameter(trim: list[Value], owner: Instance) -> float:
    """The parameter of a trim."""
    for value in trim:
        if isinstance(value, Typed) and value.word == "IFCPARAMETERVALUE":
            return number(value, owner)
    raise FileFormatError(
        f"#{owner.number} {owner.word} is trimmed at neither a point nor a parameter"
    )


def unit(d: Array, owner: Instance) -> Array:
    """A direction of length one."""
    length = float(np.hypot(*d))
    if not length > 0:
        raise FileFormatError(f"#{owner.number} {owner.word} is a direction without length")
    return np.asarray(d / length)


def bulge_through(points: Array, name: str) -> float:
    """Bulge of the arc from the first through the second to the third point.

    The middle point sees the chord under half the supplement of the arc's angle 4 atan(b): with u
    and v the ways to it and from it, the turn between them is 2 atan(b).
    """
    u, v = points[1] - points[0], points[2] - points[1]
    turn = float(np.arctan2(u[0] * v[1] - u[1] * v[0], u @ v))
    if not (np.hypot(*u) > 0 and np.hypot(*v) > 0) or abs(turn) > 3.14:
        raise FileFormatError(f"{name} has an arc whose three points do not make one")
    return float(np.tan(turn / 2))
