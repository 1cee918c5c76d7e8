"""Maximum and minimum of every result over all combinations: what acts always, what comes and goes,
and what travels, each where it is worst, and all other results at the same time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..file.request import MemberRequest
from ..model.load import Where
from ..model.variable import VariableCombination
from .analysis import SHUT_BEARINGS, Influence, influence_of
from .case_results import case_results
from .envelope_results import envelope_results
from .traffic import Standing, Traffic

Array = NDArray[np.float64]

#: Results below this share of the largest of their quantity are rounding, and none.
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class EnvelopeExtreme:
    """Maximum or minimum of one result under one combination.

    Attributes
    ----------
    result, combination : int
    maximum : bool
    value : float
    factors : mapping of load case to factor
        Of the cases that act then.
    standing : tuple of Standing
        What travels, in its place.
    together : (c,)
        All results then.
    """

    result: int
    combination: int
    maximum: bool
    value: float
    factors: Mapping[str, float]
    standing: tuple[Standing, ...]
    together: Array


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """All extremes of c results under k combinations.

    Attributes
    ----------
    influence : Influence
    cases : tuple of str
    by_case : (cases, c)
        What each load case by itself makes of the results, all contacts shut.
    combinations : tuple of VariableCombination
    table : k lists of 2c EnvelopeExtreme
        Maximum and minimum of every result in order.
    """

    influence: Influence
    cases: tuple[str, ...]
    by_case: Array
    combinations: tuple[VariableCombination, ...]
    table: tuple[tuple[EnvelopeExtreme, ...], ...]

    @property
    def sizes(self) -> dict[str, float]:
        """Largest value of each quantity (force, moment, angle ...) over all results and
        combinations."""
        return _sizes([one.quantity for one in self.influence.asked], self.table)

    def governing(
        self, result: int, maximum: bool, among: Sequence[int] | None = None
    ) -> EnvelopeExtreme:
        """The extreme of one result over combinations, all of them where none are named."""
        rows = [self.table[k] for k in (range(len(self.table)) if among is None else among)]
        own = [row[2 * result + (0 if maximum else 1)] for row in rows]
        return max(own, key=lambda e: e.value if maximum else -e.value)

    @property
    def notes(self) -> tuple[str, ...]:
        """Those of the influence lines; that bearings are shut only where one lifts."""
        lifts = bool(self.uplift)
        return tuple(n for n in self.influence.notes if lifts or n != SHUT_BEARINGS)

    @property
    def uplift(self) -> tuple[int, ...]:
        """Bearings among the results that some combination would pull up, though they only
        push."""
        pushing = {
            (s.title, n)
            for s in self.influence.member.supports
            for n, b in enumerate(s.bearings, 1)
            if not b.holds_down
        }
        return tuple(
            c
            for c, one in enumerate(self.influence.asked)
            if (one.owner, one.number) in pushing and self.governing(c, False).value < 0
        )


def envelope_of(request: MemberRequest) -> Envelope:
    """The envelope of a member's combinations.

    Raises
    ------
    InputError
        A member built in stages, second order; nothing to combine.
    """
    check_envelope(request)
    member = request.member
    found = influence_of(
        member, request.sections, envelope_results(member, request.limits),
        (), also=places_across(request),
        keep_shape=request.keep_shape, loaded=True,
    )  # fmt: skip
    cases, by_case = case_results(found)
    traffic = Traffic(found, request.vehicles, request.crowds)
    each = [
        VariableCombination(c.name, {case: (f, f) for case, f in c.factors.items()}, solved=True)
        for c in member.combined
    ]
    return combined_envelope(found, (cases, by_case), request.variable or each, traffic)


def combined_envelope(
    found: Influence,
    own: tuple[tuple[str, ...], Array],
    combinations: Sequence[VariableCombination],
    traffic: Traffic,
) -> Envelope:
    """The envelope, given what each case makes of the results."""
    cases, by_case = own
    known: dict[tuple[tuple[str, float], ...], list[tuple[Standing, ...]]] = {}
    table = []
    for k, one in enumerate(combinations):
        key = tuple(sorted(one.moving.items()))
        if key not in known:
            known[key] = traffic.worst(one.moving)
        table.append(_of_combination(k, one, cases, by_case, known[key]))
    quantities = [one.quantity for one in found.asked]
    sizes = _sizes(quantities, table)
    least = np.array([ROUNDING * sizes[quantity] for quantity in quantities])
    return Envelope(
        found, cases, _without_rounding(by_case, least), tuple(combinations),
        tuple(tuple(_cleaned(one, least) for one in row) for row in table),
    )  # fmt: skip


def check_envelope(request: MemberRequest) -> None:
    """Refuse what does not add up."""
    if request.stages:
        raise InputError(
            "this member is built in stages, and on which of them the load travels is not said; "
            "take the [[stage]] tables out for this"
        )
    if request.order == "second":
        raise InputError(
            'influence lines add up in first order alone; take order = "second" out, or take the '
            "vehicles and crowds out and give them as loads where soapfilm influence finds them "
            "worst in first order"
        )


def places_across(request: MemberRequest) -> list[Where]:
    """Where single loads stand across, which the sections are to answer."""
    found = [p for v in request.vehicles for k in range(len(v.lines)) for p in v.wheels(k)]
    return [*found, *(place for crowd in request.crowds for place, _ in crowd.strips)]


def _of_combination(
    k: int,
    one: VariableCombination,
    cases: Sequence[str],
    by_case: Array,
    standing: Sequence[tuple[Standing, ...]],
) -> tuple[EnvelopeExtreme, ...]:
    names = [case for case in cases if case in one.cases]
    rows = by_case[[cases.index(case) for case in names]].reshape(len(names), by_case.shape[1])
    low, high = np.array([one.cases[case] for case in names]).reshape(-1, 2).T
    found = []
    for row, places in enumerate(standing):
        c, maximum = row // 2, row % 2 == 0
        worse = rows[:, c] > 0 if maximum else rows[:, c] < 0
        factors = np.where(worse, high, low)
        together = factors @ rows + sum(
            (s.factor * s.place.together for s in places), np.zeros(by_case.shape[1])
        )
        acting = {n: float(f) for n, f in zip(names, factors, strict=True) if f}
        found.append(
            EnvelopeExtreme(c, k, maximum, float(together[c]), acting, tuple(places), together)
        )
    return tuple(found)


def _sizes(
    quantities: Sequence[str], table: Sequence[Sequence[EnvelopeExtreme]]
) -> dict[str, float]:
    found = dict.fromkeys(quantities, 0.0)
    for row in table:
        for extreme in row:
            own = quantities[extreme.result]
            found[own] = max(found[own], abs(extreme.value))
    return found


def _without_rounding(values: Array, least: Array) -> Array:
    """What is rounding beside others of its quantity is 0: a bearing that moves by 1e-19 m stays
    where it is, and no arrangement is worst for it."""
    return np.where(np.abs(values) <= least, 0.0, values)


def _cleaned(one: EnvelopeExtreme, least: Array) -> EnvelopeExtreme:
    together = _without_rounding(one.together, least)
    return replace(one, together=together, value=float(together[one.result]))
