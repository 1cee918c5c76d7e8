"""The lightest section for a member: rolled shapes, stock thicknesses, free dimensions, or a mix.

Rolled shapes and lists of values are tried in order of weight, every one that is lighter than the
answer (see `search`). Ranges are optimised (see `fitting`); with lists beside them once for every
combination of list values whose least weight is below the best found so far; lists of too many
combinations are searched around the optimum of their ranges (see `rounding`). What is found was
judged by deforming sections, as a member's report judges it (see `confirmation`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace

from ...member.beam.mismatch import mismatched_steps
from .assortment import RolledChoice, ShapedChoice, candidates_of
from .candidate import Candidate, least_value
from .confirmation import Confirmation, confirm, confirmation_of
from .fitting import Fit
from .holding import Holding, holding
from .neighbourhood import Ending, Place
from .rounding import Rounded, narrowed, relaxed
from .search import SearchResult, lightest
from .setting import Setting, request_of
from .theory_ratio import TheoryRatio
from .trial import Trial, attempt

#: Rejected neighbours that are explained in full.
EXPLAINED = 6
#: Ranges of which all corners are looked at.
_MOST_CORNERED = 6
#: Of a result that nobody confirmed.
NOT_ASKED = Confirmation(False, 0, {}, ())
Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Sizing:
    """What is sought.

    Attributes
    ----------
    name : str
    setting : Setting
    choice : RolledChoice or ShapedChoice
    wanted : int
        How many of the lightest to give.
    """

    name: str
    setting: Setting
    choice: RolledChoice | ShapedChoice
    wanted: int = 3


@dataclass(frozen=True, slots=True)
class SizeResult:
    """What was found.

    Attributes
    ----------
    sizing : Sizing
    found : tuple of Trial
        The lightest that keep every limit, lightest first; empty where there is none.
    neighbours : tuple of Trial
        Rejected ones next to the lightest, with all their reasons; heaviest first.
    closest : Trial or None
        Where there is none: the one that misses its limits least.
    counts : dict of str to int
    tried : tuple of Trial
        Everything that was solved.
    fits : tuple of Fit
        The searches of ranges.
    confirmation : Confirmation
        How far it was judged as a member's report judges it.
    holding : Holding or None
        What holds the best's ranges back, or those of the closest; None without ranges.
    rounded : Rounded or None
        How lists were searched of which not every combination could be tried.
    """

    sizing: Sizing
    found: tuple[Trial, ...]
    neighbours: tuple[Trial, ...]
    closest: Trial | None
    counts: dict[str, int]
    tried: tuple[Trial, ...] = ()
    fits: tuple[Fit, ...] = field(default=(), repr=False)
    confirmation: Confirmation = NOT_ASKED
    holding: Holding | None = None
    rounded: Rounded | None = None

    @property
    def ending(self) -> Ending | None:
        """How the search of the best's ranges ended; None for lists and catalogues, of which all
        that are better were tried."""
        return _holder(self.fits, self.found[0])[0].ending if self.found and self.fits else None


def size_member(
    sizing: Sizing,
    *,
    executor: Executor | None = None,
    workers: int = 1,
    screen: bool = True,
    progress: Told | None = None,
) -> SizeResult:
    """Find the lightest sections that keep every limit, and say why lighter neighbours do not.

    Parameters
    ----------
    sizing : Sizing
    executor : Executor, optional
        Left out: everything in this process. Ranges are searched here in any case.
    workers : int
    screen : bool
        See `search.lightest`.
    progress : callable, optional
        Told the number of candidates done and in all.

    Raises
    ------
    SoapfilmError
        If the member or the section file itself cannot be read.
    """
    choice = sizing.choice
    if isinstance(choice, ShapedChoice) and choice.total > choice.most:
        return _rounded(sizing, choice, executor, workers, progress)
    if isinstance(choice, ShapedChoice) and choice.ranges:
        return _fitted(sizing, choice, progress)
    candidates = candidates_of(choice)
    result = lightest(
        sizing.setting,
        candidates,
        wanted=sizing.wanted,
        screen=screen,
        executor=executor,
        workers=workers,
        progress=progress,
    )
    tried = (*result.found, *result.lighter)
    return SizeResult(
        sizing,
        result.found,
        _explained(sizing.setting, candidates, result),
        result.closest,
        result.counts,
        tried,
        (),
        confirmation_of(bool(sizing.setting.reach), tried, result.found),
    )


def _explained(
    setting: Setting, candidates: Sequence[Candidate], result: SearchResult
) -> tuple[Trial, ...]:
    """The heaviest ones lighter than the winner; without a winner those that miss least."""
    if result.found:
        below = [t for t in result.lighter if t.value <= result.found[0].value]
        nearest = sorted(below, key=lambda t: -t.value)[:EXPLAINED]
    else:
        nearest = sorted(result.lighter, key=lambda t: t.used)[:EXPLAINED]
    known = {c.label: c for c in candidates}
    return tuple(
        t if t.complete else attempt(setting, known[t.label], thorough=True) for t in nearest
    )


def _rounded(
    sizing: Sizing,
    choice: ShapedChoice,
    executor: Executor | None,
    workers: int,
    progress: Told | None,
) -> SizeResult:
    """Lists of too many combinations: see `rounding`."""
    free = relaxed(choice)
    if free is None:
        choice.combinations()  # raises
        assert free is not None
    ideal = _fitted(replace(sizing, choice=free, wanted=1), free, progress)
    if not ideal.found:
        told = Rounded(choice.total, 0, None, None, "")
        return replace(ideal, sizing=sizing, rounded=told)
    best = ideal.found[0]
    fit, place = _holder(ideal.fits, best)
    near = narrowed(choice, fit.values(place))
    if near.total > near.most:
        choice.combinations()  # raises
    found = size_member(
        replace(sizing, choice=near), executor=executor, workers=workers, progress=progress
    )
    told = Rounded(choice.total, near.total, best.weight, best.value, best.label)
    return replace(found, sizing=sizing, rounded=told)


def _fitted(sizing: Sizing, choice: ShapedChoice, progress: Told | None) -> SizeResult:
    """Ranges optimised, for every combination of list values that may still win."""
    own = request_of(sizing.setting.member, sizing.setting.accuracy)
    judging = choice.varies_diaphragms or bool(mismatched_steps(own.member))
    judging |= own.keep_shape and not own.travels
    fits = [
        Fit(sizing.setting, choice.base, choice.parameters, given, judging=judging)
        for given in choice.combinations()
    ]
    alone = len(fits) == 1
    ordered = sorted((-math.inf if alone else _least_corner(f), n, f) for n, f in enumerate(fits))
    best: list[Trial] = []
    start: tuple[float, ...] | None = None
    run: list[Fit] = []
    rounds = 0
    for done, (least, _, fit) in enumerate(ordered, 1):
        if len(best) >= sizing.wanted:
            fit.cutoff = best[sizing.wanted - 1].value
            if least >= fit.cutoff:
                break
        fit.run(start)
        run.append(fit)
        rounds += confirm(fit)
        found = fit.best(confirmed=True)
        if found is not None:
            start = found[0]  # the optimum of a neighbouring combination lies near
            best = sorted([*best, found[1]], key=lambda t: t.value)
        if progress:
            progress(done, len(ordered))
    tried = tuple(t for fit in run for t in fit.tried.values())
    solved = sum(t.weight > 0 for t in tried)
    counts = {
        "candidates": len(fits),
        "optimised": len(run),
        "solved": solved,
        "without a valid section": len(tried) - solved,
    }
    misses = [m for fit in run if not best and (m := fit.closest()) is not None]
    closest = min(misses, key=lambda t: t.used, default=None)
    return SizeResult(
        sizing,
        tuple(best[: sizing.wanted]),
        _next_to(choice, run, best[0]) if best else _misses(tried),
        closest,
        counts,
        tried,
        tuple(run),
        confirmation_of(bool(sizing.setting.reach), tried, best[: sizing.wanted], rounds),
        _held(run, best[0] if best else closest),
    )


def _misses(tried: Sequence[Trial]) -> tuple[Trial, ...]:
    """Those that miss their limits least; those that could not be solved last."""
    return tuple(sorted(tried, key=lambda t: t.used)[:EXPLAINED])


def _next_to(choice: ShapedChoice, fits: Sequence[Fit], best: Trial) -> tuple[Trial, ...]:
    """Better ones with the next value of a list, at the best's place of the ranges, and what fails
    there."""
    fit, place = _holder(fits, best)
    trials = []
    for parameter in choice.lists:
        at = parameter.values.index(fit.given[parameter.name])
        for beside in (at - 1, at + 1):
            if 0 <= beside < len(parameter.values):
                given = {**fit.given, parameter.name: parameter.values[beside]}
                other = replace(fit, given=given, tried={}, slopes={}, ratio=TheoryRatio())
                trial = other.judged(place)
                if trial.weight > 0 and trial.value < best.value and not trial.passed:
                    trials.append(trial)
    return tuple(sorted(trials, key=lambda t: -t.value)[:EXPLAINED])


def _held(fits: Sequence[Fit], trial: Trial | None) -> Holding | None:
    """What holds back the best, or what comes closest."""
    places = ((f, k) for f in fits for k, t in f.tried.items() if t is trial)
    fit, place = next(places, (None, ()))
    return None if fit is None else holding(fit, place)


def _holder(fits: Sequence[Fit], best: Trial) -> tuple[Fit, Place]:
    """The search that found the best, and its place there."""
    found = ((f, f.best(confirmed=True)) for f in fits)
    return next((f, b[0]) for f, b in found if b is not None and b[1] is best)


def _least_corner(fit: Fit) -> float:
    """Least value over the corners of the ranges: below every value between them where weight (or
    cost) grows or falls with each dimension alone, as it does with plates and profiles."""
    if len(fit.ranges) > _MOST_CORNERED:
        return -math.inf
    corners = itertools.product((0.0, 1.0), repeat=len(fit.ranges))
    return least_value(fit.setting, map(fit.candidate, corners))
