"""Quantities in and out, against pint and against figures that are exact by definition."""

from __future__ import annotations

import contextlib
import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from soapfilm.geometry.errors import UnitError
from soapfilm.geometry.quantity import FORCES, LENGTHS, unit_size
from soapfilm.geometry.units import QUANTITIES, Units

MM, M, IN, FT = Units("mm"), Units("m"), Units("in"), Units("ft")


# -- exact by definition (international foot and pound of 1959, standard gravity) ------------------
@pytest.mark.parametrize(
    ("units", "text", "quantity", "value"),
    [
        (MM, "2 in", "length", 50.8),
        (MM, "1 ft", "length", 304.8),
        (IN, "1 ft", "length", 12.0),
        (IN, "1 1/2 in", "length", 1.5),
        (IN, "-3/8 in", "length", -0.375),
        (MM, "12 kN*m", "moment", 12e6),
        (MM, "12 kNm", "moment", 12e6),
        (MM, "12 kN·m", "moment", 12e6),
        (MM, "12 kN m", "moment", 12e6),
        (FT, "12 kip-ft", "moment", 12.0),
        (IN, "12 kip-ft", "moment", 144.0),
        (MM, "350 MPa", "stress", 350.0),
        (M, "350 MPa", "stress", 350e6),
        (IN, "50 ksi", "stress", 50.0),
        (FT, "50 ksi", "stress", 7200.0),
        (MM, "7850 kg/m^3", "density", 7.85e-6),
        (MM, "7850 kg/m³", "density", 7.85e-6),
        (FT, "490 pcf", "density", 490.0),
        (IN, "1728 lb/ft^3", "density", 1.0),
        (MM, "0.3 kN/m", "line load", 0.3),
        (MM, "30 deg", "angle", math.pi / 6),
        (MM, "0.5 rad", "angle", 0.5),
        (MM, "900 kN*m/rad", "rotational spring", 9e8),
        (MM, "180 deg/m", "twist rate", math.pi / 1000),
        (MM, "1e3 mm", "length", 1000.0),
        (MM, "−5 mm", "length", -5.0),
        (MM, "2 1/m", "twist rate", 0.002),
        (Units("m", "kN"), "5 N/mm^2", "stress", 5000.0),
    ],
)
def test_reads_to_the_last_digit(units: Units, text: str, quantity: str, value: float) -> None:
    assert units.read(text, quantity) == value


def test_bare_numbers_only_where_a_unit_is_declared() -> None:
    assert MM.read(12, "length", bare="mm") == 12.0
    assert MM.read("12", "length", bare="in") == pytest.approx(304.8, rel=1e-15)
    assert MM.read(90, "angle", bare="deg") == math.pi / 2
    assert MM.read("2 in", "length", bare="mm") == 50.8


# -- against pint ----------------------------------------------------------------------------------
@pytest.mark.parametrize("unit", ["kip", "lbf", "ksi", "psi", "MPa", "lb", "in", "ft", "deg", "cm"])
def test_table_agrees_with_pint(unit: str) -> None:
    size, (mass, length, time) = unit_size(unit)
    one = pint.UnitRegistry().Quantity(1.0, unit).to_base_units()
    # pint multiplies rounded definitions: a few units in the last place
    assert float(size) == pytest.approx(one.magnitude, rel=4e-16)
    powers = {"[mass]": mass, "[length]": length, "[time]": time}
    assert dict(one.dimensionality) == {k: v for k, v in powers.items() if v}


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [("2 yd", "length", 1828.8), ("3 µm", "length", 0.003), ("2 tonne/m", "mass per length", 2.0)],
)
def test_units_outside_the_table_come_from_pint(text: str, quantity: str, value: float) -> None:
    assert MM.read(text, quantity) == pytest.approx(value, rel=1e-14)


def test_plain_lengths_and_moduli_do_not_start_pint() -> None:
    code = (
        "import sys; from soapfilm.geometry.units import Units; u = Units('mm');"
        "u.read('12 mm', 'length'); u.read('210 GPa', 'stress'); u.display('moment');"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# -- out -------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("units", "quantity", "label", "shown", "factor"),
    [
        (MM, "second moment", "mm^4", "mm^4", 1.0),
        (MM, "stress", "MPa", "MPa", 1.0),
        (M, "stress", "Pa", "MPa", 1e-6),
        (Units("cm"), "stress", "N/cm^2", "MPa", 0.01),
        (IN, "stress", "ksi", "ksi", 1.0),
        (FT, "stress", "kip/ft^2", "ksi", 1 / 144),
        (MM, "moment", "N*mm", "kN*m", 1e-6),
        (IN, "moment", "kip*in", "kip*in", 1.0),
        (FT, "moment", "kip*ft", "kip*ft", 1.0),
        (MM, "bimoment", "N*mm^2", "kN*m^2", 1e-9),
        (MM, "mass per length", "kg/mm", "kg/m", 1000.0),
        (IN, "mass per length", "lb/in", "lb/ft", 12.0),
        (IN, "density", "lb/in^3", "lb/ft^3", 1728.0),
        (MM, "twist rate", "1/mm", "deg/m", 180e3 / math.pi),
    ],
)
def test_labels_and_display(
    units: Units, quantity: str, label: str, shown: str, factor: float
) -> None:
    assert units.label(quantity) == label
    assert units.display(quantity) == (shown, pytest.approx(factor, rel=1e-15))


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("force", FORCES)
@pytest.mark.parametrize("quantity", QUANTITIES)
def test_every_display_unit_reads_back(length: str, force: str, quantity: str) -> None:
    units = Units(length, force)
    unit, factor = units.display(quantity)
    assert units.read(f"{factor!r} {unit}", quantity) == pytest.approx(1.0, rel=1e-15)
    if quantity != "angle":
        assert units.factor(quantity, units.label(quantity)) == 1.0


def test_asked_units() -> None:
    assert MM.factor("second moment", "cm^4") == 1e-4
    assert MM.factor("moment", "kip*in") == pytest.approx(1 / 112984.829, rel=1e-9)


def test_default_forces_masses_and_gravity() -> None:
    assert [Units(u).force for u in LENGTHS] == ["N", "N", "N", "kip", "kip"]
    assert (MM.mass, IN.mass) == ("kg", "lb")
    assert (MM.gravity, IN.gravity, Units("in", "lbf").gravity) == (9.80665, 0.001, 1.0)


# -- errors ----------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("value", "quantity", "message"),
    [
        (12, "length", "steel: '12' has no unit; write it like \"12 mm\""),
        ("12", "stress", "steel: '12' has no unit; write it like \"350 MPa\""),
        ("12 m", "stress", "'12 m' is not a stress; write it like \"350 MPa\""),
        ("5 lb/ft", "line load", "lb is a mass here, lbf the force"),
        ("5 foo", "length", "the unit 'foo' is not known; use for example mm, cm"),
        ("5 K", "length", "the unit 'K' measures nothing that"),
        ("5 Hz", "length", "is not a length"),
        ("12,5 mm", "length", "decimals with a point"),
        ("1.2.3 mm", "length", "not a number with a unit"),
        ("1 2 mm", "length", "cannot read the unit '2 mm'"),
        ("5 m^9^9^9", "length", "cannot read the unit"),
        ("9**9**9**9 m", "length", "cannot read the unit"),
        ("5 m*", "length", "cannot read the unit"),
        ("5 1/", "angle", "cannot read the unit"),
        ("1/0 in", "length", "not a finite number"),
        ("1e999 mm", "length", "not a finite number"),
        ("1e308 m", "length", "too large"),
        (10**400, "length", "not a finite number"),
        (float("nan"), "length", "not a finite number"),
        (True, "length", "not a number with a unit"),
        (None, "length", "not a number with a unit"),
        ([1], "length", "not a number with a unit"),
        ("", "length", "not a number with a unit"),
        ("mm", "length", "not a number with a unit"),
        ("1" * 500, "length", "not a number with a unit"),
        ("__import__('os')", "length", "not a number with a unit"),
    ],
)
def test_errors_say_what_to_write(value: object, quantity: str, message: str) -> None:
    with pytest.raises(UnitError) as caught:
        MM.read(value, quantity, what="steel")
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_unknown_systems() -> None:
    with pytest.raises(UnitError, match=r"length unit 'yd' is not known; use one of mm, cm, m, in"):
        Units("yd")
    with pytest.raises(UnitError, match="force unit 'kgf' is not known; use one of N, kN"):
        Units("mm", "kgf")
    with pytest.raises(UnitError, match="unit 'kN' is not a length"):
        MM.factor("length", "kN")


@given(st.text(max_size=90), st.sampled_from(sorted(QUANTITIES)))
def test_any_text_is_read_or_refused(text: str, quantity: str) -> None:
    with contextlib.suppress(UnitError):
        assert math.isfinite(MM.read(text, quantity, bare="mm"))


@given(
    st.floats(allow_nan=False, allow_infinity=False),
    st.text("mkNinftlbPa*/^-1290 °degradKJW%", max_size=12),
    st.sampled_from(sorted(QUANTITIES)),
)
def test_number_and_odd_unit(number: float, unit: str, quantity: str) -> None:
    with contextlib.suppress(UnitError):
        assert math.isfinite(MM.read(f"{number!r}{unit}", quantity))


@given(st.floats(-1e12, 1e12), st.sampled_from(list(LENGTHS)), st.sampled_from(list(LENGTHS)))
def test_lengths_there_and_back(value: float, first: str, second: str) -> None:
    there = Units(second).read(f"{value!r} {first}", "length")
    back = Units(first).read(f"{there!r} {second}", "length")
    assert back == pytest.approx(value, rel=4e-16, abs=1e-300)
