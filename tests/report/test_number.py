"""Numbers in tables: significant digits kept, intervals rounded outward."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from soapfilm.report.text.number import bounds, near_zero, number, unit_text

SIZES = st.floats(1e-12, 1e18)


@given(SIZES, st.integers(3, 12))
def test_a_printed_number_has_its_digits(value: float, digits: int) -> None:
    assert abs(float(number(value, digits)) - value) <= 0.5000001 * 10.0 ** (1 - digits) * value


@given(SIZES)
def test_exponents_come_in_steps_of_three(value: float) -> None:
    mantissa, _, exponent = number(value).partition("e")
    assert int(exponent or 0) % 3 == 0
    assert float(mantissa) < 1000 or not exponent


@given(SIZES, st.floats(1e-11, 0.5))
def test_a_printed_interval_holds_the_true_one(lower: float, width: float) -> None:
    upper = lower * (1 + width)
    low, high = (float(end) for end in bounds(lower, upper).split(" to "))
    assert low <= lower * (1 + 1e-14)
    assert high >= upper * (1 - 1e-14)
    assert high - low <= 1.5 * (upper - lower) + 1e-14 * upper


def test_noise_beside_the_scale_is_zero() -> None:
    assert near_zero(-3e-9, 1e4) == 0.0
    assert near_zero(3e-4, 1e4) == 3e-4


def test_units_are_set_with_raised_powers() -> None:
    assert unit_text("kN*m^2") == "kN·m²"
    assert unit_text("mm^6") == "mm⁶"
    assert unit_text("kg/m^3") == "kg/m³"


def test_what_has_no_number_says_so() -> None:
    assert number(float("inf")) == "unbounded"
    assert number(float("nan")) == "undefined"
