"""Steps over which the classical theory cannot carry warping: between closed and open pieces.

One amount of warping for the whole section is all that the classical theory knows, and it passes
it on from piece to piece. A slotted tube and the whole tube warp by different shapes, so what
passes on means nothing: with warping free at the step the open piece is far too soft, with warping
held it is too stiff. Both are solved, and the truth lies between.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from ....geometry.errors import SoapfilmError
from ..model.constants import SectionConstants
from ..model.member import SAME_STATION, Member, Segment
from ..model.support import Support

#: Shares of a held torque that drive warping: above the first a section is open, below the second
#: closed. Thin open sections lie above 0.95, tubes and boxes below 0.3.
OPEN, CLOSED = 0.8, 0.5


@dataclass(frozen=True, slots=True)
class Mismatch:
    """Steps at which warping cannot pass on, and what bounds the twist there.

    Attributes
    ----------
    stations : tuple of float
    stiff, soft : float
        Largest twist of any combination (radians) with warping held and with it free at the steps;
        nan where a bound could not be solved.
    """

    stations: tuple[float, ...]
    stiff: float
    soft: float

    def sentence(self, unit: str = "") -> str:
        """What is wrong, where, and what to do."""
        where = ", ".join(f"{z:g}{' ' + unit if unit else ''}" for z in self.stations)
        bounds = (
            f"; the twist lies between {math.degrees(self.stiff):.3g} and "
            f"{math.degrees(self.soft):.3g} degrees (warping held and free there)"
            if math.isfinite(self.stiff) and math.isfinite(self.soft)
            else ""
        )
        return (
            f"the section changes between closed and open at {where}, and the classical theory "
            f"cannot carry warping over such a step{bounds}; let sections deform (leave out "
            'sections = "keep their shape")'
        )


def mismatched_steps(member: Member) -> tuple[float, ...]:
    """Stations where a closed piece meets an open one and no hinge parts their warping."""
    parted = [h.at for h in member.hinges if h.warping != "continuous"]
    found = []
    for before, after in pairwise(member.segments):
        sides = {_kind(before.section_end or before.section), _kind(after.section)}
        apart = any(abs(z - after.start) <= SAME_STATION * member.length for z in parted)
        if sides == {"open", "closed"} and not apart:
            found.append(after.start)
    return tuple(found)


def mismatch_of(member: Member) -> Mismatch | None:
    """The member's mismatched steps with both bounds of its twist; None where it has none."""
    stations = mismatched_steps(member)
    if not stations:
        return None
    return Mismatch(stations, _twist(_held(member, stations)), _twist(_free(member)))


def _kind(section: SectionConstants) -> str:
    if section.warping_constant == 0 or section.warping_share < CLOSED:
        return "closed"
    known = section.secondary_torsion_constant is not None
    return "open" if known and section.warping_share > OPEN else "between"


def _held(member: Member, stations: tuple[float, ...]) -> Member:
    """Warping held at the steps; supports that stand there keep what they hold."""
    supports = list(member.supports)
    for z in stations:
        near = [s for s in supports if abs(s.at - z) <= SAME_STATION * member.length]
        if near:
            supports[supports.index(near[0])] = replace(near[0], warping="held")
        else:
            supports.append(Support(z, warping="held"))
    return replace(member, supports=tuple(sorted(supports, key=lambda s: s.at)))


def _free(member: Member) -> Member:
    """Closed pieces without warping: the open ones are free at the steps."""

    def plain(section: SectionConstants | None) -> SectionConstants | None:
        if section is None or _kind(section) != "closed":
            return section
        return replace(section, warping_constant=0.0, secondary_torsion_constant=None)

    pieces = []
    for item in member.segments:
        section = plain(item.section)
        assert section is not None
        pieces.append(Segment(item.start, item.end, section, plain(item.section_end)))
    return replace(member, segments=tuple(pieces))


def _twist(member: Member) -> float:
    from .analysis import solve

    try:
        return float(np.abs(solve(member).diagram(count=200).phi).max())
    except SoapfilmError:
        return math.nan
