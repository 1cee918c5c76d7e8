"""Derivatives of what a member does to the numbers of its file.

By the classical theory they are those of the solution itself (see `exact_rates`). Of sections that
deform, of members built in stages, of loads that travel and where a number makes or unmakes a part
of the member, they are differences of its whole solution: solved at four values of the number, its
sections on meshes that follow their outlines (no mesh is made anew, no order chosen again), so that
what is differenced is smooth (see `member_difference` for where it is not). The differences are of
fourth order; how far the plain central one of the inner two values is from them, and how uneven all
five values are, tells their doubt.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ....geometry.errors import InputError, SoapfilmError
from ...accuracy import ACCURACY
from ...member.vibration.analysis import vibration_of
from ...section.derivative.difference import STEPS
from ..choice.outcome_record import record
from ..choice.staged_outcome import outcome
from ..file.member_base import MemberBase
from .exact_rates import FINEST, ExactMember, exact_for
from .file_number import FileNumber, numbers_of
from .member_difference import Differenced, cleared, doubt_differences, moving, told
from .sections_in_motion import MovedSections

if TYPE_CHECKING:
    from ...member.file.request import MemberRequest

#: Step of a number by itself: the classical theory is known to some 1e-9, sections that deform to
#: 1e-5 or so, as far as what they leave out changes from value to value.
STEP = {"classical": 1e-3, "deforming": 4e-3}
#: The same where the member is not solved again: of numbers that move an outline less, so that no
#: wall of it vanishes.
EXACT_STEP, EXACT_OUTLINE_STEP = 1e-3, 2e-4
#: An element's length changes by this share at most, for which a step is made smaller by this
#: factor at most.
STRETCH, LEAST_STEP = 0.05, 1e-2
#: What is differentiated; `frequency` is the first natural one, in Hz.
RESULTS = (
    "mass", "twist_deg", "displacement", "deflection", "stress", "critical_factor", "frequency",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MemberRate:
    """What one number does to the member.

    Attributes
    ----------
    number : FileNumber
    rates, doubts : dict of str to float
        d(result)/d(number) by the names of `RESULTS`, and how far each may be off; empty where
        there is none.
    reason : str
        Why.
    exact : bool
        Whether they are those of the solution itself; else they are differences of it.
    remarks : list of str
        Several peaks or modes that share a value, or soon do; results that jump or bend.
    falling : dict of str to float
        The derivative to a falling number where it is another.
    """

    number: FileNumber
    rates: dict[str, float]
    doubts: dict[str, float]
    reason: str = ""
    exact: bool = False
    remarks: list[str] = field(default_factory=list)
    falling: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False)
class MemberPay:
    """A member's results and their derivatives; results asked for in words are under their words.

    Attributes
    ----------
    name, unit, theory : str
        `theory` is "deforming" or "classical".
    results : mapping of str to float
        As the file stands.
    numbers : tuple of MemberRate
    notes : tuple of str
        Which results are left out, and why.
    """

    name: str
    unit: str
    theory: str
    results: Mapping[str, float]
    numbers: tuple[MemberRate, ...]
    notes: tuple[str, ...]

    def elasticity(self, rate: MemberRate, name: str) -> float | None:
        """d ln(result) / d ln(number); None where there is no such number."""
        value = self.results.get(name)
        if not value or name not in rate.rates:
            return None
        return cleared(rate.rates[name] * rate.number.value / value)

    def elasticity_falling(self, rate: MemberRate, name: str) -> float | None:
        """The same where the number falls, if that is another; None where it is not."""
        if name not in rate.falling:
            return None
        return cleared(rate.falling[name] * rate.number.value / self.results[name])

    def doubt(self, rate: MemberRate, name: str) -> float:
        """How far the elasticity may be off."""
        return rate.doubts[name] * abs(rate.number.value / self.results[name])

    def by_weight(self, rate: MemberRate, name: str) -> float | None:
        """d ln(result) / d ln(mass) while this number alone changes; None where it changes no
        mass."""
        mass, own = self.elasticity(rate, "mass"), self.elasticity(rate, name)
        return None if own is None or not mass or abs(mass) < 1e-6 else own / mass


def member_pay(
    base: MemberBase,
    asked: Sequence[str] = (),
    accuracy: float = ACCURACY,
    *,
    keep_shape: bool = False,
    results: Sequence[str] = (),
    progress: Callable[[int, int], None] | None = None,
) -> MemberPay:
    """Solve a member file and take its derivatives.

    Parameters
    ----------
    base : MemberBase
    asked : sequence of str
        Addresses of numbers, of sections or of anything else in the file that is not 0; every
        dimension of its sections when empty.
    accuracy : float
        Relative width asked of each section's J.
    keep_shape : bool
        The classical theory, whatever the file says.
    results : sequence of str
        Further results in words, like "twist at middle of span 1", of the classical theory.
    progress : callable, optional
        Told the number of steps done and in all.

    Raises
    ------
    InputError
        For an address that holds no number, a number that is 0, a file that is wrong, words that
        are no result.
    SolveError
        If the member cannot be solved.
    """
    numbers = numbers_of(base.parsed, asked)
    if not numbers:
        raise InputError(
            "the member's sections have no dimensions of their own (rolled shapes, drawings, "
            'figures); name numbers by their addresses, like "span.1.length"'
        )
    if none := next((n for n in numbers if n.value == 0), None):
        raise InputError(f"{none.name} is 0, so that no share of it can be changed; leave it out")
    sections = MovedSections(base, accuracy)
    request = sections.request
    keep_shape = keep_shape or request.keep_shape
    request = replace(request, keep_shape=keep_shape)
    exact = keep_shape and exact_for(request)
    if results and not exact:
        raise InputError(
            "results in words have derivatives by the classical theory alone, of a member loaded "
            "at once by loads that stand; ask for it (--keep-shape), or leave them out"
        )
    count = _Count(progress, 1 + len(numbers) * (1 if exact else len(STEPS)))
    if exact:
        member = ExactMember(request, results)
        count.told()
        rates = [_exact_rate(sections, member, number, count) for number in numbers]
        notes = tuple(member.notes)
        return MemberPay(
            request.member.name, base.unit, "classical", member.results, tuple(rates), notes
        )
    found, theory, notes = _results(request, keep_shape)
    count.told()

    def beside(there: MemberRequest) -> Mapping[str, float]:
        values, own, _ = _results(there, keep_shape)
        if own != theory:
            raise InputError(f"the theory changes beside it, from {theory} to {own}")
        return values

    rates = [_differences(sections, number, found, theory, beside, count) for number in numbers]
    for rate in rates:
        doubt_differences(rate.rates, rate.doubts, found, rate.number.value, theory, request)
    return MemberPay(request.member.name, base.unit, theory, found, tuple(rates), notes)


@dataclass(slots=True)
class _Count:
    """Tells how many steps are done."""

    progress: Callable[[int, int], None] | None
    total: int
    done: int = 0

    def told(self) -> None:
        self.done += 1
        if self.progress:
            self.progress(self.done, self.total)


def _exact_rate(
    sections: MovedSections, member: ExactMember, number: FileNumber, count: _Count
) -> MemberRate:
    """Derivatives of the solution itself; differences where the number makes or unmakes a part."""
    outline = any(address.startswith("section.") for address in number.addresses)
    step = (EXACT_OUTLINE_STEP if outline else EXACT_STEP) * abs(number.value)
    try:
        moved = sections.at(number, step)
        stretched = max(member.stretch(one) for one in moved.requests)
        if stretched > STRETCH:
            step *= max(STRETCH / stretched, LEAST_STEP)
            moved = sections.at(number, step)
        found = member.rate(moved, number.value, step)
    except SoapfilmError as error:
        silent = _Count(None, 0)
        results = member.results | member.finest
        rate = _differences(sections, number, results, "classical", member.beside, silent)
        count.told()
        if not rate.reason:
            member.doubt_elements(rate.rates, rate.doubts)
            rate.falling.pop(FINEST, None)
            rate.remarks[:] = [words for words in rate.remarks if not words.startswith(FINEST)]
            member.doubt_sections(rate.rates, rate.doubts, number.value)
            rate.remarks.insert(0, f"by differences of the whole solution, because {error}")
        return rate
    count.told()
    return MemberRate(
        number, found.rates, found.doubts, exact=True, remarks=found.remarks, falling=found.falling
    )


def _differences(
    sections: MovedSections,
    number: FileNumber,
    results: Mapping[str, float],
    theory: str,
    beside: Callable[[MemberRequest], Mapping[str, float]],
    count: _Count,
) -> MemberRate:
    """Derivatives by differences of the whole solution, which `beside` finds."""
    try:
        step, near = sections.around(number, STEP[theory] * abs(number.value))
        every = []
        for there in near:
            every.append(beside(there))
            count.told()
    except SoapfilmError as error:
        return MemberRate(number, {}, {}, str(error))
    rate = MemberRate(number, {}, {})
    for name, here in results.items():
        values = [v[name] for v in every if name in v]
        if len(values) < len(STEPS):
            continue
        one = Differenced.of(values, here, number.value, step)
        if words := told(one, values, here, number.value, step):
            rate.remarks.append(f"{name}: {words}")
        if not one.jumps:
            rate.rates[name], rate.doubts[name] = one.rises, one.doubt
        if one.bends:
            rate.falling[name] = one.falls
    return rate


def _results(
    request: MemberRequest, keep_shape: bool
) -> tuple[dict[str, float], str, tuple[str, ...]]:
    """Numbers of a member, the theory they are of, and why others are missing."""
    request = replace(request, keep_shape=keep_shape)
    found = outcome(request)
    values = record(found)
    notes = []
    try:
        modes = vibration_of(
            request.member, request.sections, request.units, keep_shape=keep_shape, modes=2,
            judged=False,
        )  # fmt: skip
        values["frequency"] = float(modes.frequencies[0])
    except SoapfilmError as error:
        notes.append(f"no natural frequency: {error}")
    if found.stress is not None and not found.bounded:
        values["stress"] = None
        notes.append(
            "no derivative of the stress: surroundings of sharp corners are left out of it, at "
            "whose edge it may lie; enter real fillets"
        )
    kept = {k: v for k in RESULTS if (v := values.get(k)) is not None and math.isfinite(v) and v}
    return moving(kept, request.member.length), found.theory, tuple(notes)
