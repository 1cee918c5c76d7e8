"""The lightest of many candidates: all of them in order of weight, the first that keeps every limit
wins.

Weights are exact from the outlines, so nothing lighter than the winner is left untried: each
lighter candidate is ruled out by its size, by a lower bound of its twist, or by its solution in the
member. Costs and sizes likewise; any other objective is known of solved candidates alone, so all of
them are tried.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field

from ....geometry.catalogue import listing
from ....geometry.errors import SoapfilmError
from .candidate import Candidate, proposal
from .screening import optimistic, screens, twist_bound
from .section_candidate import Rolled
from .setting import Setting, request_of
from .trial import Reason, Trial, attempt

#: Trials handed out ahead of the one that is waited for, for each worker.
_AHEAD = 3


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What a search came to.

    Attributes
    ----------
    found : tuple of Trial
        The lightest that keep every limit, lightest first.
    lighter : tuple of Trial
        Rejected ones lighter than the last of them (all, if none was found), lightest first.
    closest : Trial or None
        Where nothing keeps every limit: the one whose most used limit is used least.
    counts : dict of str to int
        How many were there, ruled out by size, by the bound of the twist, and solved.
    """

    found: tuple[Trial, ...]
    lighter: tuple[Trial, ...]
    closest: Trial | None
    counts: dict[str, int] = field(default_factory=dict)


def lightest(
    setting: Setting,
    candidates: Iterable[Candidate],
    *,
    wanted: int = 1,
    screen: bool = True,
    executor: Executor | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> SearchResult:
    """Search candidates for the lightest that keep every limit.

    Parameters
    ----------
    setting : Setting
    candidates : iterable of Candidate
    wanted : int
        How many to find.
    screen : bool
        Whether to rule rolled shapes out by the bound of their twist (see `screening`).
    executor : Executor, optional
        Left out: everything in this process.
    workers : int
        How many trials the executor works on at once.
    progress : callable, optional
        Told the number of candidates done and in all.
    """
    ordered = in_order(setting, candidates)
    cheap = setting.objective.cheap
    done: list[Trial] = []
    passed: list[Trial] = []
    for trial in _trials(setting, ordered, screen, executor, workers):
        done.append(trial)
        if trial.passed:
            passed.append(trial)
        if progress:
            progress(len(done), len(ordered))
        if cheap and len(passed) >= wanted:
            break
    passed = sorted(passed, key=lambda t: t.value)[:wanted]
    rejected = tuple(t for t in done if not t.passed)
    closest = None
    if not passed:
        closest = _closest(setting, [c for c, _ in ordered], done)
    return SearchResult(tuple(passed), rejected, closest, _counts(len(ordered), done))


def in_order(setting: Setting, candidates: Iterable[Candidate]) -> list[tuple[Candidate, float]]:
    """Candidates, the best first as far as their outlines tell (else the lightest first)."""
    weighed = by_weight(setting, candidates)
    objective = setting.objective
    if not objective.cheap or (objective.of == "weight" and not objective.most):
        return weighed

    def value(pair: tuple[Candidate, float]) -> float:
        candidate, weight = pair
        if weight == 0.0:  # no valid section: first, so that it is told of
            return -math.inf
        return objective.of_sections(proposal(setting, candidate).sections, weight)

    return sorted(weighed, key=value)


def by_weight(setting: Setting, candidates: Iterable[Candidate]) -> list[tuple[Candidate, float]]:
    """Candidates and their weights in the member's unit, lightest first; one without a valid
    section comes first, so that it is told of."""
    found = []
    for candidate in candidates:
        try:
            weight = proposal(setting, candidate).weight
        except SoapfilmError:
            weight = 0.0
        found.append((candidate, weight))
    return sorted(found, key=lambda pair: pair[1])


def every_trial(
    setting: Setting,
    candidates: Sequence[Candidate],
    executor: Executor | None = None,
    workers: int = 1,
) -> Iterator[Trial]:
    """All candidates tried in their order, none screened: for the curve of weight against twist."""
    return _trials(setting, [(c, 0.0) for c in candidates], False, executor, workers)


def explained(
    setting: Setting, candidates: Sequence[Candidate], labels: Iterable[str]
) -> list[Trial]:
    """Thorough trials of some candidates, so that all their reasons are known."""
    known = {c.label: c for c in candidates}
    return [attempt(setting, known[label], thorough=True) for label in labels]


def screened(setting: Setting, candidate: Candidate) -> Trial | None:
    """The rejection of a rolled shape by the bound of its twist; None where it may pass."""
    request = request_of(setting.member, setting.accuracy)
    if not isinstance(candidate, Rolled) or not screens(request, candidate.family):
        return None
    seen = proposal(setting, candidate)
    bound = twist_bound(request, optimistic(listing(candidate.designation), seen.sections[0]))
    if bound is None or bound.ratio <= max(setting.reach, 1.0):
        return None
    words = f"twist of {bound.limit:g} deg: at least {bound.ratio:.3g} times it"
    reason = Reason(f"{words} under {bound.combination!r}", bound.ratio)
    return Trial(
        candidate.label,
        seen.weight,
        *seen.size,
        bound.ratio,
        (reason,),
        None,
        False,
        True,
    )


def tried(setting: Setting, candidate: Candidate, screen: bool) -> Trial:
    """A candidate screened, then tried: what a worker runs."""
    if screen:
        try:
            rejected = screened(setting, candidate)
        except SoapfilmError:  # no bound for it; the trial says what is wrong with it
            rejected = None
        if rejected is not None:
            return rejected
    return attempt(setting, candidate)


def _trials(
    setting: Setting,
    ordered: Sequence[tuple[Candidate, float]],
    screen: bool,
    executor: Executor | None,
    workers: int,
) -> Iterator[Trial]:
    """Trials in order, a few ahead of the one that is asked for."""
    if executor is None:
        for candidate, _ in ordered:
            yield tried(setting, candidate, screen)
        return
    waiting: deque[Future[Trial]] = deque()
    rest = iter(ordered)
    try:
        while True:
            while len(waiting) < _AHEAD * workers and (pair := next(rest, None)) is not None:
                waiting.append(executor.submit(tried, setting, pair[0], screen))
            if not waiting:
                return
            yield waiting.popleft().result()
    finally:
        for future in waiting:
            future.cancel()


def _closest(
    setting: Setting, candidates: Sequence[Candidate], done: Sequence[Trial]
) -> Trial | None:
    """The candidate that misses its limits least.

    A trial that stopped early has used a limit at least so far; in order of that, trials are
    completed until the best complete one is below what the rest have used at least.
    """
    best: Trial | None = None
    known = {c.label: c for c in candidates}
    for trial in sorted(done, key=lambda t: t.used):
        if best is not None and best.used <= trial.used:
            break
        whole = trial if trial.complete else attempt(setting, known[trial.label], thorough=True)
        if whole.used < float("inf") and (best is None or whole.used < best.used):
            best = whole
    return best


def _counts(total: int, done: Sequence[Trial]) -> dict[str, int]:
    by_size = sum(t.outcome is None and not t.complete and not t.screened for t in done)
    by_bound = sum(t.screened for t in done)
    return {
        "candidates": total,
        "left out by size": by_size,
        "left out by a bound of the twist": by_bound,
        "solved": len(done) - by_size - by_bound,
    }
