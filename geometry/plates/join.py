"""What a weld does to contacts: stretches bonded, fillets added, throat lines named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..joint import JointLine
from ..section import Region
from .carrier import Edge
from .fillet import fillet_region
from .path import Path, place
from .shared_border import Borders, SharedBorder
from .weld import Weld

Array = NDArray[np.float64]

#: Stretches shorter than this share of a contact are rounding.
_SLIVER = 1e-9
#: A point farther from the plates than this many times their size is a slip of unit.
_FAR = 10.0


@dataclass(slots=True)
class JoinedBorder:
    """A contact and the stretches of it (distances along its path) that welds have joined."""

    contact: SharedBorder
    joined: list[tuple[float, float]] = field(default_factory=list)

    def parted(self) -> list[Path]:
        """The stretches that no weld joins."""
        path = self.contact.path
        if not self.joined:
            return [path]
        length, reached = path.length, 0.0
        stretches = []
        for low, high in [*sorted(self.joined), (length, length)]:
            if low - reached > _SLIVER * length:
                stretches.append(path.part(reached, low))
            reached = max(reached, high)
        return stretches


def joined(
    weld: Weld, pair: tuple[int, int], seats: Sequence[JoinedBorder], regions: Sequence[Region]
) -> tuple[list[Region], list[JointLine]]:
    """Join the pair's contacts as the weld says: marks them in `seats`, returns fillets and joint
    lines.

    Raises
    ------
    GeometryError
        Naming the weld, when it does not fit.
    """
    try:
        chosen = _chosen(weld, pair, seats, regions)
        fillets: list[Region] = []
        lines: list[Path] = []
        for seat in chosen:
            contact = seat.contact
            forward = contact.first == pair[0]
            for at_end in _ends(weld, seat):
                if weld.kind == "fillet":
                    part, throat = _fillet(weld, pair, contact, at_end, regions)
                    fillets.append(part)
                    lines.append(throat)
                    continue
                low, high = _stretch(weld, contact, at_end)
                _check_free(seat, low, high)
                seat.joined.append((low, high))
                stretch = contact.path.part(low, high)
                lines.append(stretch if forward else stretch.reversed())
    except GeometryError as error:
        raise GeometryError(f"weld {weld.name!r}: {error}") from error
    names = [weld.name] if len(lines) == 1 else [f"{weld.name} {k + 1}" for k in range(len(lines))]
    fillets = [replace(part, name=name) for part, name in zip(fillets, names, strict=False)]
    return fillets, [_joint_line(weld, name, line) for name, line in zip(names, lines, strict=True)]


def _chosen(
    weld: Weld, pair: tuple[int, int], seats: Sequence[JoinedBorder], regions: Sequence[Region]
) -> list[JoinedBorder]:
    """The contacts that the weld joins."""
    found = [s for s in seats if {s.contact.first, s.contact.second} == set(pair)]
    if not found:
        if pair[0] == pair[1]:
            raise GeometryError(
                f"plate {weld.between[0]!r} has no open seam; its line must return to its first "
                "point"
            )
        gap, point = _gap(regions[pair[0]], regions[pair[1]])
        raise GeometryError(
            f"{weld.between[0]!r} and {weld.between[1]!r} share no line of contact; they are "
            "nearest at "
            f"{place(point)}, {gap:.6g} apart: move one until their faces touch"
        )
    if weld.near is None:
        return found
    target = np.asarray(weld.near, dtype=float)
    nearest = min(found, key=lambda s: _distance(s.contact.path, target))
    away = _distance(nearest.contact.path, target)
    extent = np.ptp(np.vstack([r.outline.points for r in regions]), axis=0).max()
    if away > _FAR * extent:
        raise GeometryError(
            f"weld {weld.name!r}: near = {place(target)} lies {away:.4g} from the plates, "
            f"{away / extent:.3g} times their size; give a point beside the weld"
        )
    return [nearest] if len(found) > 1 else found


def _distance(path: Path, point: Array) -> float:
    feet = (Edge.of(path, k).nearest(point)[0] for k in range(len(path)))
    return min(float(np.hypot(*(foot - point))) for foot in feet)


def _ends(weld: Weld, seat: JoinedBorder) -> list[bool]:
    """The ends that the weld works from: False the start, True the end. Full: one entry."""
    if weld.kind == "full":
        return [True]
    contact = seat.contact
    if contact.closed:
        raise GeometryError(
            "the contact goes all around and has no ends; only full penetration joins it in one "
            "section"
        )
    if weld.near is None:
        return [False, True]
    gaps = [float(np.hypot(*(contact.path.points[k] - np.asarray(weld.near)))) for k in (0, -1)]
    return [gaps[1] < gaps[0]]


def _stretch(weld: Weld, contact: SharedBorder, at_end: bool) -> tuple[float, float]:
    """Distances along the contact between which a penetration joins it."""
    length = contact.path.length
    if weld.depth is None:
        return 0.0, length
    sides = 1 if weld.near is not None else 2
    if sides * weld.depth >= length * (1 - _SLIVER):
        raise GeometryError(
            f"depth {weld.depth:.6g} from {'one side' if sides == 1 else 'both sides'} joins the "
            "whole contact "
            f"of {length:.6g} at {place(contact.path.points[0])}; use kind full or a smaller depth"
        )
    return (length - weld.depth, length) if at_end else (0.0, weld.depth)


def _check_free(seat: JoinedBorder, low: float, high: float) -> None:
    """No other weld joins a part of the stretch."""
    path = seat.contact.path
    sliver = _SLIVER * path.length
    for start, end in seat.joined:
        if low < end - sliver and start + sliver < high:
            middle = path.part(max(low, start), min(high, end)).points[0]
            raise GeometryError(
                f"another weld joins the contact near {place(middle)} already; leave one of the "
                "two out, or make both shallower"
            )


def _fillet(
    weld: Weld,
    pair: tuple[int, int],
    contact: SharedBorder,
    at_end: bool,
    regions: Sequence[Region],
) -> tuple[Region, Path]:
    if contact.first == contact.second:
        raise GeometryError(
            "a seam's faces lie in one line and leave no corner for a fillet; use full or partial"
        )
    if contact.first != pair[0]:
        contact, at_end = SharedBorder(*pair, contact.path.reversed()), not at_end
    both = (regions[pair[0]], regions[pair[1]])
    return fillet_region(
        contact,
        at_end,
        both,
        weld.legs,
        material=weld.material or both[0].material,
        name=weld.name,
        tolerance=Borders.of(regions).tolerance,
    )


def _joint_line(weld: Weld, name: str, line: Path) -> JointLine:
    return JointLine(
        name,
        tuple((float(x), float(y)) for x, y in line.points),
        tuple(float(b) for b in line.bulges),
        weld.kind,
        weld.between,
        weld.weld_length,
        weld.pitch,
    )


def _gap(a: Region, b: Region) -> tuple[float, Array]:
    """Distance of two outlines at vertices of either (enough for a message), and where."""
    best = (np.inf, a.outline.points[0])
    for one, other in ((a, b), (b, a)):
        for contour in other.contours:
            loop = Path([*contour.points, contour.points[0]], contour.bulges)
            for point in one.outline.points:
                best = min(best, (_distance(loop, point), point), key=lambda pair: pair[0])
    return best
