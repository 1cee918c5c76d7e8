"""Which sections may change into each other along the member: those that match corner by corner."""

from __future__ import annotations

import numpy as np

from ....geometry.errors import GeometryError
from ....geometry.outline.contour import Contour
from ....geometry.outline.tapering import matches
from ....geometry.place_words import place
from ....geometry.section import Section
from ..mesh.section_mesh import Array

#: Contours that differ by less than this part of the section's size make no step.
_ALIKE = 1e-9


def alike(first: Section, last: Section) -> bool:
    """Whether the sections have the same outlines of the same materials."""
    if first is last:
        return True
    least = _ALIKE * first.size()
    return (
        matches(first, last)
        and all(
            np.abs(p.points - q.points).max() <= least
            and np.abs(p.bulges - q.bulges).max() <= _ALIKE
            for p, q in zip(first.contours(), last.contours(), strict=True)
        )
        and same_slits(first, last)
    )


def same_slits(first: Section, last: Section) -> bool:
    """Whether the sections have the same slits in the same places."""
    least = _ALIKE * first.size()
    return len(first.slits) == len(last.slits) and all(
        len(p.points) == len(q.points)
        and np.abs(np.subtract(p.points, q.points)).max() <= least
        and np.abs(np.subtract(p.bulges, q.bulges)).max() <= _ALIKE
        for p, q in zip(first.slits, last.slits, strict=True)
    )


def refuse_unmatched(first: Section, last: Section) -> None:
    """Refuse sections that do not match corner by corner.

    Raises
    ------
    GeometryError
        Names the corner that has no partner, or what else differs.
    """
    if matches(first, last):
        return
    names = f"{first.name!r} and {last.name!r}"
    ask = "; draw both with the same corners in the same order, or step from one to the other"
    if first.unit != last.unit:
        raise GeometryError(f"sections {names} are in {first.unit!r} and {last.unit!r}")
    if len(first.slits) != len(last.slits):
        raise GeometryError(
            f"sections {names} cannot taper: they have {len(first.slits)} and {len(last.slits)} "
            "slits; draw the same slits in both, or step from one to the other"
        )
    for slit, partner in zip(first.slits, last.slits, strict=True):
        if len(slit.points) != len(partner.points):
            raise GeometryError(
                f"sections {names} cannot taper: the slit that begins at "
                f"{place(np.array(slit.points[0]), first.unit)} has {len(slit.points)} points, its "
                f"partner {len(partner.points)}; draw both with the same points"
            )
    if len(first.regions) != len(last.regions):
        raise GeometryError(
            f"sections {names} cannot taper: {len(first.regions)} and {len(last.regions)} "
            f"regions{ask}"
        )
    for n, (a, b) in enumerate(zip(first.regions, last.regions, strict=True), 1):
        if a.material != b.material:
            of = f"{a.material.name!r} and of {b.material.name!r}"
            if a.material.name == b.material.name:
                of = f"{a.material.name!r} in both, with other properties in each"
            raise GeometryError(f"sections {names} cannot taper: region {n} is of {of}")
        if len(a.holes) != len(b.holes):
            raise GeometryError(
                f"sections {names} cannot taper: region {n} has {len(a.holes)} and "
                f"{len(b.holes)} holes{ask}"
            )
        for k, (p, q) in enumerate(zip(a.contours, b.contours, strict=True)):
            if len(p) != len(q):
                longer, other = (first, p) if len(p) > len(q) else (last, q)
                lonely = _lonely(other, q if other is p else p)
                what = "outline" if k == 0 else f"hole {k}"
                raise GeometryError(
                    f"sections {names} cannot taper: the {what} of region {n} has {len(p)} and "
                    f"{len(q)} corners; the one of {longer.name!r} at "
                    f"{place(lonely, longer.unit)} has no partner{ask}"
                )


def _lonely(longer: Contour, shorter: Contour) -> Array:
    """The corner of the longer contour that lies farthest from all of the shorter one, both brought
    to the same bounds."""

    def scaled(points: Array) -> Array:
        low, high = points.min(axis=0), points.max(axis=0)
        return np.asarray((points - low) / (high - low))

    own, others = scaled(np.asarray(longer.points)), scaled(np.asarray(shorter.points))
    apart = np.hypot(*(own[:, None] - others).transpose(2, 0, 1)).min(axis=1)
    return np.asarray(longer.points[int(np.argmax(apart))])
