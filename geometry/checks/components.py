"""The bodies of a section: groups of regions that hang together by unslit borders."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..planar.arrangement import connected
from ..planar.locate import inside
from ..planar.overlay import Overlay
from ..section import Section
from .validate import checked_slits


def separate_bodies(section: Section) -> tuple[Section, ...]:
    """The section taken apart into bodies that are each in one piece.

    Parts in contact only twist by the same angle while each carries its
    own shear: their torsion constants add up. A section of one body comes back unchanged.

    Parameters
    ----------
    section : Section
        Its regions may touch along slits, or not at all.

    Returns
    -------
    tuple of Section
        In the order of their first regions, with the slits and joints that lie in each; named after
        their regions when there are several. A slit that runs between two bodies parts no body and
        is left out.

    Raises
    ------
    GeometryError
        If a slit leaves the material.
    """
    over = checked_slits(section)
    held = (over.left >= 0) & (over.right >= 0) & ~over.parted
    pairs = np.stack([over.left[held], over.right[held]], axis=1)
    body = connected(len(section.regions), pairs.astype(np.int64))
    labels = np.unique(body)
    if len(labels) == 1:
        return (section,)
    homes = [_slit_body(over, k, body) for k in range(len(section.slits))]
    bodies = []
    for label in labels:
        names = [r.name for r, b in zip(section.regions, body, strict=True) if b == label]
        known = set(names)
        bodies.append(
            replace(
                section,
                regions=tuple(r for r, b in zip(section.regions, body, strict=True) if b == label),
                name=" + ".join(filter(None, names)) or section.name,
                slits=tuple(s for s, h in zip(section.slits, homes, strict=True) if h == label),
                joints=tuple(j for j in section.joints if known.issuperset(j.between)),
            )
        )
    return tuple(bodies)


def _slit_body(over: Overlay, slit: int, body: np.ndarray) -> int:
    """The body that a slit lies in, -1 for one between two bodies.

    A slit of a seam runs inside one region, where no contour tells its sides; its middle does.
    """
    a = over.arrangement
    edges = a.piece[over.contour_of[a.source] == -1 - slit]
    found = {int(body[r]) for side in (over.left, over.right) for r in side[edges] if r >= 0}
    if not found:
        middle = over.middles(edges[:1])
        homes = [inside(middle, region.contours)[0] for region in over.section.regions]
        return int(body[int(np.argmax(homes))])
    return found.pop() if len(found) == 1 else -1
