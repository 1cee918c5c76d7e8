"""What was found by the classical theory, confirmed by deforming sections.

A search of ranges costs too many solutions to judge each of them so. It runs by the classical
theory; then its best is judged, and the use of each limit anywhere is taken to be the classical one
times the ratio of both theories (see `theory_ratio`). The search goes on from what it knows, its
new best is judged, and so on until the best was judged and keeps every limit, and every better
neighbour of it was judged and breaks one. The ratio varies slowly, so a few rounds do.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .fitting import Fit
from .member_outcome import DEFORMING
from .neighbourhood import Ending, Place, around, place_of
from .trial import Trial

#: Rounds at most; after some of them the ratios are raised by a little more each time, so that the
#: last thousandth of a limit does not send the search to and fro.
ROUNDS, RAISED_AFTER, RAISED = 10, 3, 1e-3


@dataclass(frozen=True, slots=True)
class Confirmation:
    """How far a result was judged as a member's report judges it.

    Attributes
    ----------
    asked : bool
        False where the classical theory alone was asked for in the search.
    judged : int
        Trials that deforming sections judged.
    alone : dict of str to str
        Of what was found: labels of those that the classical theory judges alone, and why.
    refused : tuple of Trial
        Those that keep every limit by the classical theory and not where sections deform, the best
        first.
    rounds : int
        Of searches of ranges.
    """

    asked: bool
    judged: int
    alone: dict[str, str]
    refused: tuple[Trial, ...]
    rounds: int = 0


def confirmation_of(
    asked: bool, tried: Iterable[Trial], found: Iterable[Trial], rounds: int = 0
) -> Confirmation:
    """What trials and results tell."""
    trials = list(tried)
    return Confirmation(
        asked,
        sum(t.outcome is not None and t.outcome.theory == DEFORMING for t in trials),
        {t.label: t.outcome.alone for t in found if t.outcome is not None and t.outcome.alone},
        tuple(sorted((t for t in trials if t.refused), key=lambda t: t.value)),
        rounds,
    )


def confirm(fit: Fit) -> int:
    """Judge the best of a search that has run; where the theories part, search on. Returns the
    number of rounds."""
    if not fit.setting.reach:
        return 0
    rounds, settled = 0, False
    while rounds < ROUNDS:
        found = fit.best() or _nearest(fit)
        if found is None or fit.value(found[1]) >= fit.cutoff:
            break
        place, best = found
        if not best.judged:
            fit.judged(place)
        elif not _better_neighbour(fit, place, best):
            settled = True
            break
        rounds += 1
        fit.ratio.raised = 1 + RAISED * max(0, rounds - RAISED_AFTER)
        fit.run(place)
    if fit.ending is not None:
        converged = settled and fit.ending.converged
        fit.ending = Ending(converged, fit.ending.checked, fit.solutions)
    return rounds


def _nearest(fit: Fit) -> tuple[Place, Trial] | None:
    """Where nothing keeps every limit: what comes nearest, unless it was judged already or is too
    far away for deforming sections to be so much more favourable."""
    most = {place: max(used.values()) for place in fit.tried if (used := fit.used(place))}
    if not most:
        return None
    place = min(most, key=lambda k: most[k])
    trial = fit.tried[place]
    return None if trial.judged or most[place] > fit.setting.reach else (place, trial)


def _better_neighbour(fit: Fit, place: Place, best: Trial) -> bool:
    """Judge every better neighbour that may keep the limits; whether one does."""
    for at in around(place):
        near = fit.tried.get(place_of(at))
        if near is None or near.weight <= 0 or not fit.value(near) < fit.value(best):
            continue
        if near.judged or max(fit.used(at).values(), default=2.0) > fit.setting.reach:
            continue
        near = fit.judged(at)
        if fit.passes(at) and fit.value(near) < fit.value(best):
            return True
    return False


def rejected_neighbours(fit: Fit, most: int) -> list[Trial]:
    """Better ones next to the best that were solved and break a limit, judged as it was: one
    dimension changed first, then two."""
    found = fit.best(confirmed=True)
    if found is None:
        return []
    near = [at for at in around(found[0]) if place_of(at) in fit.tried]
    near = [at for at in near if fit.trial(at).weight > 0 and not fit.passes(at)]
    near = [at for at in near if fit.value(fit.trial(at)) < fit.value(found[1])]
    return [t for t in (fit.judged(at) for at in near[:most]) if not t.passed]
