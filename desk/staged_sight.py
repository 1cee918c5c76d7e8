"""What the page is shown of a member built in stages: what stands after each of them, as if stages
and combinations were combinations alike.

Twist, deflection and stress are those of all stages so far by the theory that leads; torque,
bimoment, moment and shear are the classical ones, of all stages so far too.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..report.member.units import MemberUnits
from ..report.page.live_member import DIAGRAMS, STRESS
from ..report.page.live_shape import STATIONS, Piece, pieces_of, shape_of_pieces
from ..report.page.packing import floats
from ..report.page.stages_report import stage_facts
from ..solver.member.beam.solution import ACTIONS, Solution
from ..solver.member.deforming.solution import DeformingSolution
from ..solver.member.staged.assessment import StagedAssessment
from ..solver.member.staged.history import History
from .member_sight import fact_value, rigid_shape
from .plan import plan

Array = NDArray[np.float64]


def seen_staged(staged: StagedAssessment) -> dict[str, Any]:
    """What a `result` message says of such a member."""
    return {
        "values": [fact_value(fact) for fact in stage_facts(staged)],
        "field": None,
        "member": _data(staged),
        "plan": plan(staged.request),
        "deforming": staged.history.theory == "deforming",
        "alone": staged.alone,
    }


def _data(staged: StagedAssessment) -> dict[str, Any]:
    units = MemberUnits(staged.request.units)
    member, along = staged.request.member, units.factor("along")
    z = _stations(staged)
    diagrams = []
    for key, words, symbol, quantity in (*DIAGRAMS, STRESS):
        values = _columns(staged, key, z)
        if values is None:
            continue
        shown = floats((values * units.factor(quantity)).T)
        unit = units.unit(quantity)
        diagrams.append(
            {"key": key, "words": words, "symbol": symbol, "unit": unit, "values": shown}
        )
    last = np.abs(staged.stages[-1].twist)
    row, column = np.unravel_index(int(last.argmax()), last.shape)
    columns = len(staged.stages) * len(staged.names)
    return {
        "names": [f"{name}, after {s.stage.name}" for s, name in _pairs(staged)],
        "unit": units.unit("along"),
        "z": floats(z * along),
        "length": member.length * along,
        "supports": sorted({s.at * along for s in member.supports}),
        "diagrams": diagrams,
        "actions": floats(np.zeros((columns, len(ACTIONS), len(z)))),
        "segments": [{"end": member.length * along, "section": -1}],
        "opening": {
            "station": float(staged.stages[-1].z[row]) * along,
            "combination": columns - len(staged.names) + int(column),
        },
        "shape": _shape(staged, units),
    }


def _pairs(staged: StagedAssessment) -> list[tuple[Any, str]]:
    """Stage and combination of every column."""
    return list(product(staged.stages, staged.names))


def _stations(staged: StagedAssessment) -> Array:
    """Those of the twist, and where a stress peaks: between two stations it would read too low."""
    peaks = [
        s.stress.z[s.stress.mises.argmax(axis=0)] for s in staged.stages if s.stress is not None
    ]
    return np.unique(np.concatenate([staged.stages[0].z, *peaks]))


def _columns(staged: StagedAssessment, key: str, z: Array) -> Array | None:
    """(m, stages times combinations) of one diagram; None where a stage has none."""
    found = []
    for n, result in enumerate(staged.stages):
        if key == "phi":
            found.append(staged.history.until(n).twist(z))
        elif key == "v":
            found.append(staged.history.until(n).movement("shear_centre", z)[1])
        elif key == STRESS[0]:
            if result.stress is None:
                return None
            places, start = np.unique(result.stress.z, return_index=True)
            mises = np.maximum.reduceat(result.stress.mises, start, axis=0)
            found.append(np.stack([np.interp(z, places, c) for c in mises.T], axis=1))
        else:
            found.append(_action(staged.classical, n, key, z))
    return np.concatenate(found, axis=1)


def _action(history: History, number: int, word: str, z: Array) -> Array:
    """(m, c) of an action of the classical theory, of the stages 0 to `number`."""
    total = np.zeros((len(z), len(history.names)))
    for answer in history.answers[: number + 1]:
        own = [s.at(z) for s in answer.solutions if isinstance(s, Solution)]
        if own:
            total += np.concatenate([getattr(stations, word) for stations in own], axis=1)
    return total


def _shape(staged: StagedAssessment, units: MemberUnits) -> dict[str, Any] | None:
    """How sections turn and distort in all: every solution's own functions, added up. Where stages
    differ in their outlines, they are shown as they turn."""
    z = np.linspace(0.0, staged.request.member.length, STATIONS)
    blocks = _blocks(staged.history)
    pieces = _joined([pieces_of(s.course) for _, _, s in blocks])
    if not pieces:
        turned = [staged.history.until(n).twist(z) for n in range(len(staged.stages))]
        last = staged.stages[-1].member
        sections = staged.request.sections
        return rigid_shape(last, sections, z, np.concatenate(turned, axis=1), units)
    count = len(staged.names)
    each = [solution.functions(z)[1] for _, _, solution in blocks]
    width = sum(own.shape[1] for own in each)
    whole = np.zeros((len(z), width, len(staged.stages) * count))
    at = 0
    for (first, column, _), own in zip(blocks, each, strict=True):
        for n in range(first, len(staged.stages)):
            columns = slice(n * count, (n + 1) * count)
            if column is not None:
                columns = slice(n * count + column, n * count + column + 1)
            whole[:, at : at + own.shape[1], columns] = own
        at += own.shape[1]
    return shape_of_pieces(pieces, z, whole, units)


def _blocks(history: History) -> list[tuple[int, int | None, DeformingSolution]]:
    """Stage, combination (None: all of them) and solution."""
    found = []
    for n, answer in enumerate(history.answers):
        single = len(answer.solutions) == 1
        for c, solution in enumerate(answer.solutions):
            if isinstance(solution, DeformingSolution):
                found.append((n, None if single else c, solution))
    return found


def _joined(each: list[list[Piece]]) -> list[Piece]:
    """Pieces with the functions of all, one after the other; none where their borders differ."""
    if not each or any(len(pieces) != len(each[0]) for pieces in each):
        return []
    found = []
    for alike in zip(*each, strict=True):
        start, end, edges, _ = alike[0]
        for other in alike[1:]:
            if other[2].shape != edges.shape or not np.allclose(other[2], edges, atol=1e-9):
                return []
            if not np.allclose(other[:2], (start, end)):
                return []
        found.append((start, end, edges, np.concatenate([p[3] for p in alike], axis=-1)))
    return found
