"""One candidate tried in a member: its weight and size, its limits, and why it fails.

A trial goes only as far as it must: overall size first, then twist and movement from the section's
constants by the classical theory, then the stress, then stability. What keeps its limits so, or
exceeds them by little, is judged by deforming sections, as a member's report judges it. With
`thorough` every limit is looked at, so that all reasons are known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ....geometry.errors import SoapfilmError
from ...member.model.solved_section import Solving, solved_section
from .answer import answer
from .candidate import Candidate, proposal
from .member_outcome import DEFORMING, MemberOutcome
from .setting import Setting, request_of

if TYPE_CHECKING:
    from ...member.review.movement_limits import Utilisation


@dataclass(frozen=True, slots=True)
class Reason:
    """A limit that is not kept: in words, and how far it is used (infinite where no number is)."""

    words: str
    ratio: float


@dataclass(frozen=True, slots=True)
class Trial:
    """What became of a candidate.

    Attributes
    ----------
    label : str
    weight : float
        Mass per length, plates and bars of diaphragms with it; the area where a density is
        missing. In the member's units.
    depth, width : float
    used : float
        How far the most used limit is used, as far as limits were looked at; infinite where the
        member has no answer.
    reasons : tuple of Reason
        Empty for a candidate that keeps every limit.
    outcome : MemberOutcome or None
        None where size ruled it out, or the member has no answer.
    complete : bool
        Whether every limit was looked at.
    screened : bool
        Whether a lower bound of the twist ruled it out, without a solution.
    value : float
        What is sought, smaller is better: the weight, or what the objective says; infinite where it
        is not known.
    """

    label: str
    weight: float
    depth: float
    width: float
    used: float
    reasons: tuple[Reason, ...]
    outcome: MemberOutcome | None
    complete: bool
    screened: bool = False
    value: float = math.inf

    @property
    def passed(self) -> bool:
        """Whether it keeps every limit."""
        return self.complete and not self.reasons

    @property
    def judged(self) -> bool:
        """Whether limits are judged as a member's report judges them."""
        return self.outcome is not None and self.outcome.judged

    @property
    def refused(self) -> bool:
        """Whether it keeps every limit by the classical theory, and not where sections deform."""
        if self.outcome is None or self.outcome.theory != DEFORMING or self.passed:
            return False
        plain = self.outcome.classical
        return plain is not None and all(check.passed for check in plain.everything)

    @property
    def checks(self) -> tuple[Utilisation, ...]:
        """Every limit of the member that was looked at, stability among them."""
        return () if self.outcome is None else self.outcome.everything


def attempt(
    setting: Setting,
    candidate: Candidate,
    *,
    thorough: bool = False,
    solving: Solving = solved_section,
) -> Trial:
    """Try a candidate; what goes wrong with it is its reason.

    Parameters
    ----------
    setting : Setting
    candidate : Candidate
    thorough : bool
        Look at every limit, even when one has failed.
    solving : Solving
        How sections are solved.

    Raises
    ------
    SoapfilmError
        If the member itself cannot be read.
    """
    try:
        seen = proposal(setting, candidate)
    except SoapfilmError as error:
        return _failed(candidate.label, (0.0, 0.0, 0.0), str(error))
    depth, width = seen.size
    size = seen.weight, depth, width
    objective = setting.objective
    value = objective.of_sections(seen.sections, size[0]) if objective.cheap else math.inf
    unit = request_of(setting.member, setting.accuracy).units.length
    too_large = _size_reasons(setting, depth, width, unit)
    if too_large and not thorough:
        used = max(r.ratio for r in too_large)
        return Trial(candidate.label, *size, used, too_large, None, False, value=value)
    try:
        found, solved = answer(setting, seen.put, thorough, solving)
    except SoapfilmError as error:
        return _failed(candidate.label, size, str(error), too_large, value)
    if solved is not None and not objective.cheap:
        value = objective.of_outcome(found, solved)
    reasons = too_large + limit_reasons(found)
    ratios = [c.ratio for c in found.everything]
    used = max([*ratios, *_size_ratios(setting, depth, width)], default=0.0)
    return Trial(candidate.label, *size, used, reasons, found, solved is not None, value=value)


def limit_reasons(found: MemberOutcome) -> tuple[Reason, ...]:
    """Every limit that is exceeded, the worst first."""
    failed = sorted((c for c in found.everything if not c.passed), key=lambda c: -c.ratio)
    return tuple(
        Reason(f"{c.limit}: {_times(c.ratio)} times it under {c.combination!r}", c.ratio)
        for c in failed
    )


def _times(ratio: float) -> str:
    """So many digits that it is seen to be above 1."""
    return f"{ratio:.3g}" if ratio >= 1.01 else f"{ratio:.6g}"


def _size_ratios(setting: Setting, depth: float, width: float) -> list[float]:
    pairs = ((depth, setting.depth), (width, setting.width))
    return [value / most for value, most in pairs if most is not None]


def _size_reasons(setting: Setting, depth: float, width: float, unit: str) -> tuple[Reason, ...]:
    found = []
    for word, value, most in (("depth", depth, setting.depth), ("width", width, setting.width)):
        # Rounding of a unit's conversion must not rule out a shape of exactly the size allowed.
        if most is not None and value > most * (1 + 1e-9):
            words = f"{word} {value:.4g} {unit} is above the {most:.4g} {unit} allowed"
            found.append(Reason(words, value / most))
    return tuple(found)


def _failed(
    label: str,
    size: tuple[float, float, float],
    why: str,
    before: tuple[Reason, ...] = (),
    value: float = math.inf,
) -> Trial:
    reasons = (*before, Reason(why, math.inf))
    return Trial(label, *size, math.inf, reasons, None, True, value=value)
