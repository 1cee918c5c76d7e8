"""Stress of all stages together by the classical theory: actions of all stages on one section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.solution import Solution, Stations
from ..deforming.envelope import DeformingStress
from ..model.solved_section import SolvedSection
from ..review.envelope import stress_envelope as classical_envelope
from ..review.stress import unit_stresses
from .history import Totals
from .stage_answer import StageAnswer

Array = NDArray[np.float64]

#: Stations along the member.
_STATIONS = 200


def summed_stress(
    totals: Totals, loaded: Sequence[StageAnswer], sections: Mapping[str, SolvedSection]
) -> DeformingStress:
    """Largest stresses of stages with the same sections, which keep their shape.

    Raises
    ------
    InputError
        Where a section changes from stage to stage, tapers, or has no outline.
    """
    member = totals.member
    for answer in loaded:
        if answer.member.segments != member.segments:
            raise InputError(
                "stresses of stages with different sections are added up by the theory whose "
                "sections deform alone"
            )
    parts = []
    for segment in member.segments:
        section = sections[segment.section.name]
        if segment.section_end is not None or section.search is None:
            raise InputError("stresses of stages need even sections with an outline")
        share = np.linspace(0.0, 1.0, max(3, _STATIONS // len(member.segments)))
        z = segment.start + share * (segment.end - segment.start)
        envelope = classical_envelope(_summed(loaded, z), unit_stresses(section))
        strengths = set(section.strengths)
        used = None
        if None not in strengths and len(strengths) == 1:
            used = envelope.mises / float(strengths.pop() or 1.0)
        parts.append((envelope, used))
    whole = [e for e, _ in parts]
    used = None
    if all(u is not None for _, u in parts):
        used = np.concatenate([u for _, u in parts if u is not None])
    mises, shear, tension, compression = (
        np.concatenate([getattr(e, word) for e in whole])
        for word in ("mises", "shear", "tension", "compression")
    )
    return DeformingStress(
        np.concatenate([e.z for e in whole]),
        mises,
        shear,
        tension,
        compression,
        used,
        np.concatenate([e.points[e.point] for e in whole]),
        totals.names,
        0.0,
        any(s.search is not None and bool(s.search.corners) for s in sections.values()),
    )


def _summed(loaded: Sequence[StageAnswer], z: Array) -> Stations:
    """All stages' results at stations, both sides of each, added up."""
    z2 = np.repeat(z, 2)
    values: dict[str, Array] = {}
    names: tuple[str, ...] = ()
    for answer in loaded:
        tables: list[tuple[Stations, Stations]] = []
        for solution in answer.solutions:
            assert isinstance(solution, Solution)
            tables.append((solution.at(z, side="left"), solution.at(z, side="right")))
        names = tuple(n for left, _ in tables for n in left.names)
        for f in fields(Stations):
            if f.name in ("z", "names"):
                continue
            left = np.concatenate([getattr(one, f.name) for one, _ in tables], axis=-1)
            right = np.concatenate([getattr(two, f.name) for _, two in tables], axis=-1)
            both = np.stack([left, right], axis=1).reshape(len(z2), -1)
            values[f.name] = values.get(f.name, 0.0) + both
    return Stations(z=z2, names=names, **values)
