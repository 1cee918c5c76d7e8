"""What less twist costs in weight: the lightest section for every twist, by the classical theory,
which is fast enough for a whole catalogue; what deforming sections refuse of it is marked."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from .assortment import ShapedChoice, candidates_of
from .search import by_weight, every_trial
from .section_candidate import Rolled
from .sizing import SizeResult
from .trial import Trial

#: Twists on either side of the answer's for which ranges are optimised again.
_TARGETS = (0.5, 0.7, 1.4, 2.0)
#: Candidates of lists and catalogues up to this many times the answer's weight are drawn.
_HEAVIEST = 3.0
_MOST_DRAWN = 3000


@dataclass(frozen=True, slots=True)
class TradePoint:
    """One section: its weight, its member's largest twist in degrees by the classical theory,
    whether it keeps every limit, and whether deforming sections alone refuse it.

    `group` is its family, or "" for sections of a file.
    """

    label: str
    weight: float
    twist: float
    passed: bool
    group: str
    refused: bool = False


@dataclass(frozen=True, slots=True)
class Tradeoff:
    """The curve of weight against twist.

    Attributes
    ----------
    points : tuple of TradePoint
        Everything that was tried.
    front : tuple of TradePoint
        Those than which nothing twists less at no more weight, lightest first. Limits other than
        that of twist count only where ranges were optimised.
    optimised : bool
        Whether the front was optimised, or picked among candidates.
    """

    points: tuple[TradePoint, ...]
    front: tuple[TradePoint, ...]
    optimised: bool


def tradeoff(
    result: SizeResult,
    *,
    executor: Executor | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Tradeoff:
    """Weight against twist around a result.

    Parameters
    ----------
    result : SizeResult
    executor : Executor, optional
    workers : int
    progress : callable, optional
        Told the number of steps done and in all.
    """
    choice = result.sizing.choice
    if isinstance(choice, ShapedChoice) and choice.ranges:
        return _optimised(result, progress)
    candidates = candidates_of(choice)
    groups = {c.label: c.family if isinstance(c, Rolled) else "" for c in candidates}
    known = {t.label: t for t in result.tried if t.outcome is not None}
    setting = replace(result.sizing.setting, reach=0.0)
    heaviest = _HEAVIEST * result.found[0].weight if result.found else math.inf
    weighed = by_weight(setting, [c for c in candidates if c.label not in known])
    rest = [c for c, weight in weighed if weight <= heaviest][:_MOST_DRAWN]
    trials = list(known.values())
    for n, trial in enumerate(every_trial(setting, rest, executor, workers), 1):
        trials.append(trial)
        if progress:
            progress(n, len(rest))
    points = [p for t in trials if (p := _point(t, groups[t.label])) and p.weight <= heaviest]
    return Tradeoff(tuple(points), pareto(points), False)


def pareto(points: Sequence[TradePoint]) -> tuple[TradePoint, ...]:
    """Points than which no other twists less at no more weight, lightest first."""
    front: list[TradePoint] = []
    for point in sorted(points, key=lambda p: (p.weight, p.twist)):
        if not front or point.twist < front[-1].twist:
            front.append(point)
    return tuple(front)


def _optimised(result: SizeResult, progress: Callable[[int, int], None] | None) -> Tradeoff:
    """Ranges optimised again for other twists, with the list values of the best."""
    fits = [f for f in result.fits if f.best(confirmed=True) is not None]
    front = []
    if fits:
        fit = min(fits, key=lambda f: f.best(confirmed=True)[1].weight)  # type: ignore[index]
        best = fit.best(confirmed=True)
        assert best is not None
        assert best[1].outcome is not None
        front.append(best[1])
        for n, factor in enumerate(_TARGETS, 1):
            # The same trials serve every target, so each search starts with what is known.
            plain = best[1].outcome.classical or best[1].outcome
            again = replace(fit, twist_target=factor * plain.twist, tried=fit.tried, judging=False)
            again.run(best[0])
            found = again.best()  # by the classical theory
            if found is not None:
                front.append(found[1])
            if progress:
                progress(n, len(_TARGETS))
    trials = {t.label: t for fit in result.fits for t in fit.tried.values()}
    points = [p for t in trials.values() if (p := _point(t, ""))]
    chosen = [p for t in front if (p := _point(t, ""))]
    return Tradeoff(tuple(points), pareto(chosen), True)


def _point(trial: Trial, group: str) -> TradePoint | None:
    if trial.outcome is None:
        return None
    plain = trial.outcome.classical or trial.outcome
    if not plain.twist > 0:
        return None
    twist = math.degrees(plain.twist)
    return TradePoint(trial.label, trial.weight, twist, trial.passed, group, trial.refused)
