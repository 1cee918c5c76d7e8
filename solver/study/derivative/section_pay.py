"""Where material pays in a section: its derivatives, those of its largest stresses among them, to
the numbers of its file, and to its border's movement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ....geometry.errors import InputError, SoapfilmError, SolveError
from ....geometry.section import Section
from ...accuracy import ACCURACY
from ...plane_section import warps
from ...section import solve_section
from ...section.derivative.border_worth import BorderWorth, border_worth
from ...section.derivative.difference import STEPS
from ...section.derivative.largest import Rates
from ...section.derivative.largest_stress import (
    SETTLED,
    LargestStress,
    MovingStresses,
    largest_stresses,
)
from ...section.derivative.section_rate import FollowedSection, SectionRate, section_rate
from ...section.result import SectionResult
from ...section.stress.actions import Actions
from ...section.stress.extremes import Spot
from ...section.stress.load_cases import StressResult, solve_stress
from ..file.section_base import SectionBase, tables_of
from ..run.properties import Properties
from .file_number import FileNumber, numbers_of


@dataclass(frozen=True, slots=True, eq=False)
class NumberPay:
    """What one number of the file does to the section.

    Attributes
    ----------
    number : FileNumber
    rate : SectionRate or None
        None where it has no derivative.
    reason : str
        Why.
    stresses : tuple of Rates or None
        Of `SectionPay.stresses`, times their side; None where one has no derivative.
    """

    number: FileNumber
    rate: SectionRate | None
    reason: str = ""
    stresses: tuple[Rates[Spot] | None, ...] = ()

    def elasticity(self, name: str, properties: Mapping[str, float]) -> float | None:
        """d ln(property) / d ln(number): by how many percent the property grows when the number
        grows by one; None where there is no such number."""
        value = properties.get(name)
        if self.rate is None or not value or name not in self.rate.rates:
            return None
        return self.rate.rates[name] * self.number.value / value

    def by_weight(self, name: str, properties: Mapping[str, float]) -> float | None:
        """d ln(property) / d ln(weight) while this number alone changes; None where it changes no
        weight."""
        weight, own = self.weight_elasticity(properties), self.elasticity(name, properties)
        return None if own is None or weight is None else own / weight

    def weight_elasticity(self, properties: Mapping[str, float]) -> float | None:
        """d ln(weight) / d ln(number); None where the number changes no weight."""
        weight = self.elasticity(weight_name(properties), properties)
        return None if not weight or abs(weight) < 1e-9 else weight


@dataclass(frozen=True, slots=True, eq=False)
class SectionPay:
    """A solved section and its derivatives.

    Attributes
    ----------
    result : SectionResult
    properties : mapping of str to float
        Its numbers, those that exist.
    numbers : tuple of NumberPay
        In the order of the file.
    border : BorderWorth
    stress : StressResult, optional
        Under the load cases that were given.
    stresses : tuple of LargestStress
        Its extremes.
    """

    result: SectionResult
    properties: Mapping[str, float]
    numbers: tuple[NumberPay, ...]
    border: BorderWorth
    stress: StressResult | None = None
    stresses: tuple[LargestStress, ...] = ()


def weight_name(properties: Mapping[str, float]) -> str:
    """What weight is measured by: mass per length, or the area where a density is missing."""
    return "mass_per_length" if "mass_per_length" in properties else "gross_area"


def section_pay(
    base: SectionBase,
    asked: Sequence[str] = (),
    accuracy: float = ACCURACY,
    cases: Sequence[Actions] = (),
) -> SectionPay:
    """Solve a section file and take its derivatives.

    Parameters
    ----------
    base : SectionBase
    asked : sequence of str
        Addresses of numbers (see `file_number.asked_number`); every dimension of the file when
        empty.
    accuracy : float
        Relative width asked of J's interval.
    cases : sequence of Actions
        Load cases whose largest stresses are differentiated too.

    Raises
    ------
    InputError
        For an address that holds no number, a file that is wrong, or an action that the section
        cannot carry.
    SolveError
        If the section cannot be solved.
    """
    numbers = numbers_of(tables_of(base.text), asked)
    section = base.section({})
    result, stress = solve_section(section, accuracy), None
    if cases:
        stress = solve_stress(result, cases, settled=SETTLED)
        result = stress.result
    pay = replace(_outline(result), stress=stress)
    if stress is not None:
        pay = replace(pay, stresses=largest_stresses(stress))
    if not numbers:
        return pay
    try:
        moving = FollowedSection.of(result)
    except SolveError as error:  # too many edges: the outline alone
        alone = tuple(NumberPay(number, None, str(error)) for number in numbers)
        return replace(pay, numbers=alone)
    stresses = None if stress is None else MovingStresses(pay.stresses, moving, stress.units)
    found = []
    for number in numbers:
        step = number.step(section.size(), base.unit, base.written_unit)
        try:
            changed = [base.section(number.assigned(number.value + k * step)) for k in STEPS]
            _check_moduli(section, changed)
            outline = moving.moved(changed, step)
            rate = section_rate(moving, outline)
            each = stresses.rates(outline) if stresses is not None else ()
        except SoapfilmError as error:
            found.append(NumberPay(number, None, str(error)))
        else:
            found.append(NumberPay(number, rate, stresses=each))
    return replace(pay, numbers=tuple(found))


def _check_moduli(section: Section, changed: Sequence[Section]) -> None:
    """Refuse a number that changes what sections are made of: the derivatives of the fields are to
    the outline."""

    def moduli(one: Section) -> list[tuple[float, float, float | None]]:
        own = [region.material for region in one.regions]
        return [(m.elastic_modulus, m.poisson_ratio, m.shear_modulus) for m in own]

    if any(moduli(one) != moduli(section) for one in changed):
        raise InputError(
            "it changes a material's stiffness, and derivatives are to the outline; sweep it with "
            "soapfilm sweep"
        )


def outline_pay(section: Section, accuracy: float = ACCURACY) -> SectionPay:
    """A section without a file of numbers: derivatives to its border's movement alone."""
    return _outline(solve_section(section, accuracy))


def _outline(result: SectionResult) -> SectionPay:
    record = Properties.of(result).record()
    numbers = {
        k: float(v)
        for k, v in record.items()
        if isinstance(v, (int, float)) and not isinstance(v, bool)
    }
    moments = result.second_moments
    if not warps(result.warping_constant, moments.x, moments.y, result.area):
        del numbers["warping_constant"]  # rounding
    for name, least in _rounding(result).items():
        if abs(numbers[name]) <= least:
            numbers[name] = 0.0  # which has no elasticity
    return SectionPay(result, numbers, (), border_worth(result))


#: Share of its scale below which what the outline gives without a field is rounding.
_ROUNDING = 1e-9


def _rounding(result: SectionResult) -> dict[str, float]:
    """Below what values that symmetry makes vanish are rounding, or what J's interval leaves of
    them."""
    moments, size = result.second_moments, result.section.size()
    place = _ROUNDING * size
    field = place + result.field.relative_width * result.warping_properties.polar_radius
    return {
        "centroid_x": place,
        "centroid_y": place,
        "product_moment": _ROUNDING * (moments.x + moments.y),
        "shear_centre_x": field,
        "shear_centre_y": field,
        "monosymmetry_x": 2 * field,
        "monosymmetry_y": 2 * field,
    }
