"""Wind on a member whose sections are replaced by others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .load import LineLoad, Load
from .member import Member, Segment


def blown_again(member: Member, segments: Sequence[Segment]) -> tuple[Load, ...]:
    """The loads of a member whose segments have other sections: wind on what those show."""
    return tuple(_blown(load, segments) for load in member.loads)


def _blown(load: Load, segments: Sequence[Segment]) -> Load:
    if not isinstance(load, LineLoad) or load.wind is None:
        return load
    middle = (load.start + load.end) / 2
    segment = next(s for s in segments if s.start <= middle <= s.end)
    ends = [load.wind.acting_on(segment.section_at(z)) for z in (load.start, load.end)]
    (first, turn), (last, turn_end) = ends
    return replace(
        load, force=(first, 0.0, 0.0), force_end=(last, 0.0, 0.0), torque=turn, torque_end=turn_end
    )
