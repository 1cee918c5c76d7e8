"""Why a table and the solution differ: the reason fits the family and the rounding."""

from __future__ import annotations

import pytest
from soapfilm.geometry.catalogue import FAMILIES, listing, search
from soapfilm.report.section.shape_comparison import QUANTITIES, compare, reason
from soapfilm.report.section.shapes_table import percent
from soapfilm.solver.section import solve_section


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_has_one_line_a_reason(family: str) -> None:
    """Any difference, small or large, in any tabulated property."""
    shape = search(family)[0]
    for key in QUANTITIES:
        table = getattr(shape, key)
        if table is None:
            continue
        for factor in (1.0, 1.02, 0.8):
            why = reason(shape, key, table, table * factor)
            assert 20 < len(why) < 160
            assert ("third digit" in why) == (factor == 1.0)


def test_half_a_unit_of_the_third_digit_is_rounding() -> None:
    shape = listing("W10X49")  # 14.4 in^2
    assert "third digit" in reason(shape, "area", 14.4, 14.4499)
    assert "third digit" not in reason(shape, "area", 14.4, 14.4501)
    beam = listing("HEB100")  # 4.50e6 mm^4, tabulated in cm^4
    assert "third digit" in reason(beam, "second_moment_x", 4.5e6, 4.5049e6)
    assert "third digit" not in reason(beam, "second_moment_x", 4.5e6, 4.5051e6)


@pytest.mark.parametrize(
    ("name", "key", "word"),
    [
        ("C10X20", "warping_constant", "taper"),
        ("HSS8X4X1/2", "torsion_constant", "Bredt"),
        ("W14X730", "torsion_constant", "fitted formula"),
        ("WT7X436.5", "warping_constant", "thin plates"),
    ],
)
def test_the_reason_meets_the_case(name: str, key: str, word: str) -> None:
    shape = listing(name)
    result = solve_section(shape.section(), 1e-4)
    compared = {c.key: c for c in compare(shape, result)}[key]
    assert compared.difference is not None
    assert abs(compared.difference) > 0.003
    assert word in compared.why


def test_percent() -> None:
    assert [percent(v) for v in (None, 0.0, -1e-6, 0.0123, -0.2231)] == [
        "-",
        "0.00 %",
        "0.00 %",
        "+1.23 %",
        "-22.31 %",
    ]
