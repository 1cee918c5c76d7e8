"""What a taper does to warping: flanges that are not parallel to the axis.

The flanges of an open section at a distance h from each other move sideways by +-h phi / 2 and
bend as beams in their own planes. In a taper h varies, and what bends them is

    (h phi)'' = h (phi'' + 2 (h'/h) phi') = (h^2 phi')' / h      for h'' = 0,

so the slope that passes on from one short prismatic piece to the next is h^2 phi', not phi', and
the moment beside it is B / h^2, not B (Kitipornchai & Trahair, J. Struct. Div. ASCE 98 (1972),
from memory; the form with h^2 derived). `SectionConstants.warping_arm` stands for h.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.member import Member, Segment

Array = NDArray[np.float64]

#: A section of which restrained warping carries less than this share of a torque where it is held
#: is closed: its warping dies out within its own size, and a taper has nothing to pass on.
OPEN = 0.5


def warping_passed_on(member: Member, nodes: Array, middle: Array) -> tuple[Array, Array]:
    """Warping of each element's pieces over that of its two nodes, (n,) each; 1 but in tapers.

    Parameters
    ----------
    nodes : (n + 1,)
    middle : (n,)
        Where the section of each element is taken.
    """
    start, end = np.ones((2, len(middle)))
    for item in member.segments:
        if item.section_end is None or not _open(item):
            continue
        on = np.flatnonzero((middle > item.start) & (middle < item.end))
        here = _square_of_depth(item, middle[on])
        start[on] = _square_of_depth(item, nodes[on]) / here
        end[on] = _square_of_depth(item, nodes[on + 1]) / here
    return start, end


def _open(item: Segment) -> bool:
    ends = (item.section, item.section_end)
    return all(s is not None and s.warping_constant > 0 and s.warping_share > OPEN for s in ends)


def _square_of_depth(item: Segment, z: Array) -> Array:
    """h^2 (m,) but for a factor, at stations of a taper: h is linear along it."""
    assert item.section_end is not None
    first, last = item.section.warping_arm, item.section_end.warping_arm
    share = np.clip((z - item.start) / (item.end - item.start), 0.0, 1.0)
    return np.asarray(((1 - share) * first + share * last) ** 2)
