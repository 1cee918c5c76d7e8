"""Shear flow of welds and cells along a member: what each must carry at every station.

The flow through a joint is that of all eight actions together (see `stress.cut`), by the classical
theory's actions. It is the longitudinal shear between the joined parts; what a weld passes on
across, from a load on one of its parts, is not in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ....geometry.joint import JointLine
from ...section.stress.cut import CutFlow
from ...section.stress.joint_flow import joint_flows, near_joints
from ...section.stress.unit_stress import unit_stress
from ..beam.stations import SegmentStations
from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WeldDemand:
    """What the user says of welds.

    Attributes
    ----------
    strength : float
        Design shear strength of the throat.
    pitch : float or None
        Distance of the starts of intermittent welds, for the length that each needs.
    """

    strength: float
    pitch: float | None = None

    def __post_init__(self) -> None:
        for word, value in (("strength", self.strength), ("pitch", self.pitch)):
            if value is not None and not 0 < value < np.inf:
                raise InputError(f"welds: {word} must be positive, got {value}")

    def share(self, flow: float, throat: float) -> float:
        """Part of its length that a weld of this throat must cover: q / (f a); above 1 it is too
        thin."""
        return abs(flow) / (self.strength * throat)

    def length(self, flow: float, throat: float, pitch: float) -> float:
        """Length that each intermittent weld needs: q p / (f a)."""
        return self.share(flow, throat) * pitch


@dataclass(frozen=True, slots=True, eq=False)
class WeldFlow:
    """One weld along the member.

    Attributes
    ----------
    section : str
    line : JointLine
    throat : float
    flow, doubt : (m, c)
        Force per length at the stations and how far it may be off; not a number where the member
        has another section.
    """

    section: str
    line: JointLine
    throat: float
    flow: Array
    doubt: Array


@dataclass(frozen=True, slots=True, eq=False)
class CellFlow:
    """Flow around one closed cell by Saint-Venant's torque, T_t times the cell's flow per torque.

    `centre` and `void_area` are of the cell; `flow` (m, c) as in `WeldFlow`.
    """

    section: str
    centre: tuple[float, float]
    void_area: float
    flow: Array


@dataclass(frozen=True, slots=True, eq=False)
class FlowsAlong:
    """All welds and cells at the stations z (m,) of the member's table, for c combinations."""

    z: Array
    names: tuple[str, ...]
    welds: tuple[WeldFlow, ...]
    cells: tuple[CellFlow, ...]


def flows_along(
    parts: Sequence[SegmentStations], sections: Mapping[str, SolvedSection]
) -> FlowsAlong | None:
    """Flows of welds and cells; None where no section has either."""
    z = np.concatenate([part.table.z for part in parts])
    names = parts[0].table.names
    known: dict[str, tuple[CutFlow, ...]] = {}
    welds: dict[tuple[str, str], tuple[CutFlow, Array, Array]] = {}
    cells: dict[tuple[str, int], CellFlow] = {}
    start = 0
    for part in parts:
        rows = slice(start, start + len(part.table.z))
        start = rows.stop
        for solved, weight in _shares(part, sections):
            if solved.result is None:
                continue
            actions = part.table.actions * weight[:, None, None]
            title = part.segment.section.name
            if title not in sections or sections[title].made:
                title = next((k for k, _ in reversed(list(welds))), title)
            for flow in _flows(solved, known):
                key = (title, flow.line.name)
                if key not in welds:
                    empty = np.full((2, len(z), len(names)), np.nan)
                    welds[key] = (flow, empty[0], empty[1])
                _, total, doubt = welds[key]
                _add(total, rows, actions @ flow.unit_flow)
                _add(doubt, rows, np.abs(actions) @ np.abs(flow.unit_doubt))
            for n, cell in enumerate(solved.result.cells):
                place = (title, n)
                if place not in cells:
                    nothing = np.full((len(z), len(names)), np.nan)
                    cells[place] = CellFlow(title, cell.centre, cell.void_area, nothing)
                torque = part.table.T_t * weight[:, None]
                _add(cells[place].flow, rows, torque * cell.shear_flow_per_torque)
    if not welds and not cells:
        return None
    found = tuple(
        WeldFlow(section, flow.line, flow.length, total, doubt)
        for (section, _), (flow, total, doubt) in welds.items()
    )
    return FlowsAlong(z, names, found, tuple(cells.values()))


def _shares(
    part: SegmentStations, sections: Mapping[str, SolvedSection]
) -> list[tuple[SolvedSection, Array]]:
    """Sections at both ends of a segment, and how much each counts at its stations (m,)."""
    segment, z = part.segment, part.table.z
    first = sections.get(segment.section.name)
    if segment.section_end is None:
        return [] if first is None else [(first, np.ones(len(z)))]
    last = sections.get(segment.section_end.name)
    share = (z - segment.start) / (segment.end - segment.start)
    both = [(first, 1 - share), (last, share)]
    return [(solved, weight) for solved, weight in both if solved is not None]


def _flows(solved: SolvedSection, known: dict[str, tuple[CutFlow, ...]]) -> tuple[CutFlow, ...]:
    """Unit flows of a section's joints, solved finer around them."""
    if solved.name not in known:
        result = solved.result
        assert result is not None
        if not result.section.joints:
            known[solved.name] = ()
        else:
            known[solved.name] = joint_flows(unit_stress(near_joints(result)))
    return known[solved.name]


def _add(total: Array, rows: slice, more: Array) -> None:
    total[rows] = np.where(np.isnan(total[rows]), 0.0, total[rows]) + more
