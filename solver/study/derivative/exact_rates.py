"""Exact derivatives of what a classical member does to the numbers of its file: no member is solved
again (see `member.derivative`)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError, SoapfilmError
from ...member.beam.analysis import solve, with_critical_loads
from ...member.beam.solution import Solution, Stations
from ...member.derivative.critical_rate import NEAR, FactorRate, LowestFactor
from ...member.derivative.frequency_rate import VibratingMember
from ...member.derivative.moved_member import FactoredMember, touching
from ...member.derivative.peak import PeakPlace, peak_rates, peaks_of
from ...member.derivative.stress_peak import StressPeak, apart_by_order, stress_peaks, stress_rates
from ...member.file.request import MemberRequest
from ...member.influence.case_results import read_result
from ...member.influence.words import asked_in_words
from ...member.review.judgement import classical_judgement
from ...section.derivative.difference import derivative, plain_difference
from ...section.derivative.largest import SOON, Rates
from ..choice.member_outcome import member_mass
from .member_difference import moving, two_sides, widest
from .sections_in_motion import MovedRequests

Array = NDArray[np.float64]


def _twist(table: Stations) -> Array:
    return np.degrees(np.abs(table.phi))


def _movement(table: Stations) -> Array:
    return np.hypot(table.u, table.v)


#: Largest values along the member that need its answer alone.
_SIZES = {"twist_deg": _twist, "displacement": _movement}
#: The critical factor on the finest mesh.
FINEST = "critical_factor of the finest elements"
#: What steps that stand for a taper, and elements of the second order, leave of an elasticity by
#: one: stations move across the steps, and what the order adds acts at nodes.
_TAPERED, _SECOND = 2e-4, 1e-3
#: Factor on how far two orders put the largest stress apart; they may put its derivatives further.
_ORDERS_APART = 20.0
#: Its derivative is a third as far from that of the factor as two meshes are apart, at least.
_BY_FINEST = 3.0


@dataclass(slots=True)
class Found:
    """Derivatives to one number, as far as they have come.

    Attributes
    ----------
    rates, doubts : dict of str to float
    remarks : list of str
    falling : dict of str to float
        The derivative to a falling number where it is another.
    """

    rates: dict[str, float] = field(default_factory=dict)
    doubts: dict[str, float] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    falling: dict[str, float] = field(default_factory=dict)


class ExactMember:
    """A classical member solved once, ready for derivatives to any number.

    Parameters
    ----------
    request : MemberRequest
    asked : sequence of str
        Results by the words of `influence.words`.

    Attributes
    ----------
    results : dict of str to float
    notes : list of str
        Which results are left out, and why.

    Raises
    ------
    InputError, SolveError
        As the member's solution does.
    """

    def __init__(self, request: MemberRequest, asked: Sequence[str] = ()) -> None:
        self._request, self._asked = request, tuple(asked)
        member = request.member
        solution = solve(member, order=request.order)
        critical = with_critical_loads(solution).critical
        self._factored = FactoredMember.of(solution)
        self.results: dict[str, float] = {}
        self.notes: list[str] = [
            f"{owner} is about to open or to close: derivatives hold to one side"
            for owner in touching(solution)
        ]
        self._width = widest(request)
        tapers = any(segment.section_end is not None for segment in member.segments)
        self._steps = _TAPERED if tapers else _SECOND if request.order == "second" else 0.0
        mass = member_mass(request)
        if mass:
            self.results["mass"] = mass
        self._peaks = {name: peaks_of(solution, size) for name, size in _SIZES.items()}
        highest = {name: peaks[0].value for name, peaks in self._peaks.items() if peaks}
        self.results |= moving(highest, member.length)
        self._stress, self._apart = self._stresses(solution), 0.0
        if self._stress:
            self.results["stress"] = self._stress[0].peak.value
            self._apart = apart_by_order(solution, self._stress[0], request.sections)
        self._critical: LowestFactor | None = None
        factors = [load.factor for load in critical]
        if factors and min(factors) < math.inf:
            try:
                self._critical = LowestFactor(member, factors, request.order)
                self.results["critical_factor"] = min(factors)
            except SoapfilmError as error:
                self.notes.append(f"no derivative of the critical factor: {error}")
        self._vibrating = self._vibration()
        if self._vibrating is not None:
            self.results["frequency"] = float(self._vibrating.hertz[0])
        self._columns: dict[str, int] = {}
        for words in self._asked:
            values = _asked_values(solution, words, request)
            column = int(np.argmax(np.abs(values)))
            if values[column]:
                self._columns[words] = column
                self.results[words] = float(values[column])
            else:
                self.notes.append(f"{words} is 0 in every combination: no share of it can change")

    def _stresses(self, solution: Solution) -> list[StressPeak]:
        judgement = classical_judgement(self._request, solution)
        if judgement.stress is None:
            return []
        try:
            return stress_peaks(solution, judgement.parts, judgement.stress, self._request.sections)
        except InputError as error:
            self.notes.append(f"no derivative of the stress: {error}")
            return []

    def _vibration(self) -> VibratingMember | None:
        try:
            return VibratingMember(self._request)
        except SoapfilmError as error:
            self.notes.append(f"no natural frequency: {error}")
            return None

    def beside(self, request: MemberRequest) -> dict[str, float]:
        """The same results of a member beside this one, solved by itself, and `FINEST`."""
        other = ExactMember(replace(request, keep_shape=True), self._asked)
        return other.results | other.finest

    @property
    def finest(self) -> dict[str, float]:
        """The critical factor on the finest mesh, where there is one."""
        return {} if self._critical is None else {FINEST: self._critical.finest}

    def stretch(self, request: MemberRequest) -> float:
        """The largest relative change of an element's length in a member beside this one: steps
        must be small beside the shortest."""
        own = self._factored.stretch(request.member)
        if self._vibrating is not None:
            own = max(own, self._vibrating.stretch(request.member))
        return own

    def rate(self, moved: MovedRequests, value: float, step: float) -> Found:
        """Derivatives to a number of a value, from the file read beside it.

        Raises
        ------
        SoapfilmError
            The number makes or unmakes a part of the member, or its kind.
        """
        found, requests = Found(), moved.requests
        members = [request.member for request in requests]
        member = self._factored.moved(members, step)
        solutions = member.solutions()
        if "mass" in self.results:
            self._differenced(found, "mass", [member_mass(r) or math.nan for r in requests], step)
        for name, peaks in self._peaks.items():
            if name in self.results:
                rates = peak_rates(peaks, solutions, _SIZES[name], step)
                self._peaked(found, name, rates, value, moved.doubt)
        if self._stress:
            sections = [r.sections for r in requests]
            units = [
                {**{n: s.search.units for n, s in own.items() if s.search is not None}, **new}
                for own, new in zip(sections, moved.units, strict=True)
            ]
            rates = stress_rates(self._stress, solutions, self._request.sections, units, step)
            self._peaked(found, "stress", rates, value, moved.doubt)
        if self._critical is not None:
            rate = self._critical.rate(members, step)
            self._moded(found, "critical_factor", rate, value, moved.doubt)
        if self._vibrating is not None:
            own = [r.sections for r in requests]
            rate = self._vibrating.rate(members, own, step)
            self._moded(found, "frequency", rate, value, moved.doubt)
        for words, column in self._columns.items():
            values = [
                float(_asked_values(one, words, request)[column])
                for one, request in zip(solutions, requests, strict=True)
            ]
            self._differenced(found, words, values, step)
            found.doubts[words] += moved.doubt * abs(self.results[words])
        self.doubt_sections(found.rates, found.doubts, value)
        return found

    def doubt_sections(
        self, rates: Mapping[str, float], doubts: dict[str, float], value: float
    ) -> None:
        """Add to the doubts of derivatives what sections, and elements of tapers and of the second
        order, leave in doubt."""
        for name, rate in rates.items():
            if name != "mass":
                apart = self._width + self._steps
                apart += _ORDERS_APART * self._apart if name == "stress" else 0.0
                doubts[name] += apart * (abs(rate) + abs(self.results[name] / value))

    def doubt_elements(self, rates: dict[str, float], doubts: dict[str, float]) -> None:
        """Add to the doubt of the critical factor's derivative what elements leave in doubt, and
        take that of `FINEST` out."""
        fine, _ = rates.pop(FINEST, math.nan), doubts.pop(FINEST, None)
        if "critical_factor" in rates and not math.isnan(fine):
            value = self.results["critical_factor"]
            apart = rates["critical_factor"] / value - fine / self.finest[FINEST]
            doubts["critical_factor"] += _BY_FINEST * abs(apart * value)

    def _differenced(self, found: Found, name: str, values: Sequence[float], step: float) -> None:
        slope = float(derivative(values, step))
        found.rates[name] = slope
        found.doubts[name] = abs(float(plain_difference(values, step)) - slope)

    def _peaked(
        self, found: Found, name: str, rates: Rates[PeakPlace], value: float, doubt: float
    ) -> None:
        found.rates[name] = rates.rises
        found.doubts[name] = rates.rises - rates.falls + doubt * self.results[name]
        found.doubts[name] += rates.each[0].doubt
        if sides := two_sides(rates.rises, rates.falls, value / self.results[name]):
            found.falling[name] = rates.falls
            found.remarks.append(f"{name}: several places are equally high; {sides}")
        soon = rates.taken_over()
        if soon is not None and abs(soon[1]) < SOON * abs(value):
            other, change = soon
            found.remarks.append(
                f"{name}: a peak of {100 * other.peak.value / self.results[name]:.2f} % at "
                f"{self._where(other.peak.z, other.peak.column)} takes over where the number "
                f"changes by {100 * change / value:+.2g} %; its elasticity is "
                f"{other.rate * value / other.peak.value:.4g}"
            )

    def _where(self, z: float, column: int) -> str:
        units = self._request.units
        return f"{z:.5g} {units.length} under {self._factored.solution.names[column]!r}"

    def _moded(self, found: Found, name: str, rate: FactorRate, value: float, doubt: float) -> None:
        found.rates[name] = rate.rises
        found.doubts[name] = rate.falls - rate.rises + doubt * self.results[name] + rate.doubt
        if sides := two_sides(rate.rises, rate.falls, value / self.results[name]):
            found.falling[name] = rate.falls
            found.remarks.append(f"{name}: {rate.modes} modes share it; {sides}")
        if rate.next < rate.value * (1 + NEAR):
            found.remarks.append(
                f"{name}: the next one, {100 * (rate.next / rate.value - 1):.2g} % above, may take "
                "over after a small change"
            )


def _asked_values(solution: Solution, words: str, request: MemberRequest) -> Array:
    """(c,) a result of every combination, angles in degrees."""
    one = asked_in_words(words, request.member, request.units)
    if one.kind == "stress":
        raise InputError(f"{words!r}: of stresses the largest is differentiated, no other")
    values = read_result(solution, one)
    return np.degrees(values) if one.kind in ("twist", "rotation") else values


def exact_for(request: MemberRequest) -> bool:
    """Whether a classical member's derivatives are exact: it is loaded at once, by loads that
    stand."""
    return not request.stages and not request.travels
