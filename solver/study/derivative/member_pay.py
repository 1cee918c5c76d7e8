"""Derivatives of what a member does to the numbers of its file, by differences of its whole
solution.

The member is solved at four values of each number, its sections on meshes that follow their
outlines (no mesh is made anew, no order chosen again), so that what is differenced is smooth. The
differences are of fourth order; how far the plain central one of the inner two values is from them
tells their doubt.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ....geometry.errors import InputError, SoapfilmError
from ...accuracy import ACCURACY
from ...member.vibration.analysis import vibration_of
from ...section.derivative.difference import STEPS, derivative, plain_difference
from ..choice.outcome_record import record
from ..choice.staged_outcome import outcome
from ..file.member_base import MemberBase
from .file_number import FileNumber, numbers_of
from .followed_sections import FollowedSections

if TYPE_CHECKING:
    from ...member.file.request import MemberRequest

#: Step of a number by itself: the classical theory is known to some 1e-9, sections that deform to
#: 1e-5 or so, as far as what they leave out changes from value to value.
STEP = {"classical": 1e-3, "deforming": 4e-3}
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
    rates, doubts : mapping of str to float
        d(result)/d(number) by the names of `RESULTS`, and how far each may be off; empty where
        there is none.
    reason : str
        Why.
    """

    number: FileNumber
    rates: Mapping[str, float]
    doubts: Mapping[str, float]
    reason: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class MemberPay:
    """A member's results and their derivatives.

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
        return rate.rates[name] * rate.number.value / value

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
    progress : callable, optional
        Told the number of members solved and in all.

    Raises
    ------
    InputError
        For an address that holds no number, a number that is 0, a file that is wrong.
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
    solving, total = FollowedSections(), 1 + len(STEPS) * len(numbers)
    done = 0

    def told() -> None:
        nonlocal done
        done += 1
        if progress:
            progress(done, total)

    request = base.request({}, accuracy, solving)
    keep_shape = keep_shape or request.keep_shape
    results, theory, notes = _results(request, keep_shape)
    told()
    rates = []
    for number in numbers:
        step = STEP[theory] * abs(number.value)
        try:
            every = []
            for k in STEPS:
                assigned = number.assigned(number.value + k * step)
                values, found, _ = _results(base.request(assigned, accuracy, solving), keep_shape)
                every.append(values)
                told()
                if found != theory:
                    raise InputError(f"the theory changes beside it, from {theory} to {found}")
        except SoapfilmError as error:
            rates.append(MemberRate(number, {}, {}, str(error)))
            continue
        names = [n for n in results if all(n in values for values in every)]
        slopes = {n: float(derivative([v[n] for v in every], step)) for n in names}
        plain = {n: float(plain_difference([v[n] for v in every], step)) for n in names}
        doubts = {n: abs(plain[n] - slopes[n]) for n in names}
        rates.append(MemberRate(number, slopes, doubts))
    return MemberPay(request.member.name, base.unit, theory, results, tuple(rates), notes)


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
    return kept, found.theory, tuple(notes)
