"""What was found by the classical theory, confirmed by deforming sections.

A search of ranges costs too many solutions to judge each of them so. It runs by the classical
theory; then its best is judged, and the use of each limit anywhere is taken to be the classical one
times the ratio of both theories (see `theory_ratio`). The search goes on from what it knows, its
new best is judged, and so on until the best was judged and keeps every limit. Then the slopes of
what deforming sections do are taken there too, and the search goes on while these show something
better. The ratio varies slowly, so a few rounds do.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .fitting import Fit
from .member_outcome import DEFORMING
from .neighbourhood import Ending, Place
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
        found = fit.best() or _hopeful(fit)
        if found is None or fit.value(found[1]) >= fit.cutoff:
            break
        place, best = found
        if not best.judged:
            fit.judged(place)
        elif fit.judging or not fit.sloped(place, judged=True):
            settled = True
            break
        rounds += 1
        fit.ratio.raised = 1 + RAISED * max(0, rounds - RAISED_AFTER)
        fit.run(place)
    if fit.ending is not None:
        converged = settled and fit.ending.converged
        fit.ending = Ending(converged, fit.beside, len(fit.solved()))
    return rounds


def _hopeful(fit: Fit) -> tuple[Place, Trial] | None:
    """Where nothing keeps every limit as far as known, what may yet: what comes nearest, if
    deforming sections may be so much more favourable; else what the classical theory thinks best
    of all that it lets pass, for far from where it is known the ratio may be wrong."""
    found, reach = fit.nearest(), fit.setting.reach
    if found and not found[1].judged and max(fit.used(found[0]).values()) <= reach:
        return found
    open_ = [(t.used, k) for k, t in fit.tried.items() if t.passed and not t.judged]
    place = min(open_, default=(0.0, None))[1]
    return None if place is None else (place, fit.tried[place])
