"""Code rules and hand methods against published figures; failing, never not-a-number."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from soapfilm.geometry.errors import InputError
from soapfilm.report.text.caution import MEMBER
from soapfilm.solver.member.review.serviceability import (
    leg_rotation,
    masonry_limit,
    span_limit,
    twist_limit,
)
from soapfilm.solver.rules import bending_torsion
from soapfilm.solver.rules.hollow_torsion import (
    interaction,
    rectangular_constant,
    rectangular_critical_stress,
    rectangular_strength,
    round_constant,
)
from soapfilm.solver.rules.shear_torsion import (
    shear_reduction,
    web_yield_factor,
)
from soapfilm.solver.rules.verdict import Verdict

from benchmarks.checks import figures
from benchmarks.checks.formulas.connection import (
    bearing_pair_forces,
    end_couple,
    weld_throat,
)
from benchmarks.checks.formulas.hand_method import (
    flange_analogy_factor,
    slit_ratios,
    thin_tube_constant,
    thin_tube_shear_flow,
)
from benchmarks.checks.formulas.lateral_buckling import critical_moment
from benchmarks.checks.formulas.single_rules import (
    open_section,
    shear_check,
    torsion_check,
    yield_criterion,
)


def check(name: str) -> tuple[Any, Mapping[str, Any]]:
    """Value and inputs of a published or derived figure; its source stands in the data file."""
    figure = figures()[name]
    return figure.values if len(figure.values) > 1 else figure.value, figure.inputs


class TestHollowSections:
    """AISC 360 H3; the Design Examples' figures are in `benchmarks.checks.rules`."""

    def test_round_constant_of_the_manual(self) -> None:
        """The manual's 7.95 is J over the outer radius (from memory), not the mid-wall formula."""
        _, i = check("h3_C_round")
        inner = i["D"] - 2 * i["t"]
        outer_fibre = math.pi / 32 * (i["D"] ** 4 - inner**4) / (i["D"] / 2)
        assert outer_fibre == pytest.approx(7.95, abs=5e-3)
        assert round_constant(i["D"], i["t"]) == pytest.approx(outer_fibre, rel=0.05)

    def test_yield_governs_a_stocky_tube(self) -> None:
        _, i = check("h5a")
        strength = rectangular_strength(i["E"], i["Fy"], i["h_over_t"], i["C"])
        assert strength.governs == "yield"

    def test_bands_meet(self) -> None:
        root = math.sqrt(29000 / 50)
        for edge, gap in ((2.45, 1e-9), (3.07, 2e-3)):
            below = rectangular_critical_stress(29000, 50, edge * root * (1 - 1e-12))[0]
            above = rectangular_critical_stress(29000, 50, edge * root * (1 + 1e-12))[0]
            assert above == pytest.approx(below, rel=gap)

    def test_slender_beyond_the_rule_is_refused(self) -> None:
        with pytest.raises(InputError, match="above 260"):
            rectangular_critical_stress(29000, 50, 261)

    def test_interaction(self) -> None:
        assert interaction(0.3, 0.2, 0.1, 0.5).ratio == pytest.approx(0.5 + 0.6**2)
        small = interaction(0.9, 0.9, 0.9, 0.2)
        assert small.passed
        assert "use H1" in small.rule

    def test_other_shapes(self) -> None:
        normal, shear, buckling = open_section(30.0, 20.0, 50.0, 40.0)
        assert normal.ratio == pytest.approx(30 / 45)
        assert shear.ratio == pytest.approx(20 / 27)
        assert buckling.ratio == pytest.approx(30 / 36)
        assert open_section(30.0, 20.0, 50.0, allowable=True)[0].ratio == pytest.approx(
            30 * 1.67 / 50
        )


class TestShearWithTorsion:
    """EN 1993-1-1:2005 6.2.7 (from memory); figures in `benchmarks.checks.rules`."""

    @pytest.mark.parametrize(
        ("kind", "tau_t", "tau_w"),
        [("I", 300.0, 0), ("channel", 200.0, 200.0), ("hollow", 250.0, 0)],
    )
    def test_exhausted_fails_and_is_a_number(self, kind: str, tau_t: float, tau_w: float) -> None:
        """A negative radicand or bracket."""
        left = shear_reduction(kind, tau_t, 355.0, tau_w)  # type: ignore[arg-type]
        assert left.exhausted
        assert left.ratio == 0
        verdict = shear_check(1.0, 1000.0, left)
        assert not verdict.passed
        assert "no capacity left" in verdict.words

    @given(
        st.sampled_from(["I", "channel", "hollow"]),
        st.floats(-1e4, 1e4),
        st.floats(-1e4, 1e4),
        st.floats(1.0, 1e3),
    )
    def test_always_a_number_between_none_and_all(
        self, kind: str, tau_t: float, tau_w: float, fy: float
    ) -> None:
        left = shear_reduction(kind, tau_t, fy, tau_w)  # type: ignore[arg-type]
        assert 0 <= left.ratio <= 1
        assert left.exhausted == (left.ratio == 0)
        assert not math.isnan(shear_check(5.0, 10.0, left).ratio)

    def test_sign_of_stress_does_not_matter(self) -> None:
        assert shear_reduction("hollow", -60, 355) == shear_reduction("hollow", 60, 355)

    def test_other_checks(self) -> None:
        assert torsion_check(-3.0, 4.0).ratio == pytest.approx(0.75)
        assert yield_criterion(300.0, 100.0, 355.0).ratio == pytest.approx(
            math.sqrt((300 / 355) ** 2 + 3 * (100 / 355) ** 2)
        )
        assert web_yield_factor(0.4, 1.0) == 1.0
        assert web_yield_factor(0.75, 1.0) == pytest.approx(0.75)
        assert web_yield_factor(1.2, 1.0) == 0.0

    def test_unknown_kind(self) -> None:
        with pytest.raises(InputError, match="kind 'Z' is not covered"):
            shear_reduction("Z", 1, 355)  # type: ignore[arg-type]


class TestBendingWithTorsion:
    """EN 1993-6:2007 Annex A (from memory)."""

    def test_figure(self) -> None:
        _, i = check("en19936_A")
        found = bending_torsion.interaction(
            i["My_over_MyRd"],
            i["Mz_over_MzRd"],
            i["B_over_BRd"],
            reduction=i["chiLT"],
            major_to_critical=i["My_over_Mcr"],
            moment_factor=i["Cmz"],
        )
        assert (found.k_w, found.k_zw, found.k_alpha) == pytest.approx(
            (0.64, 0.9, 4 / 3), rel=1e-12
        )
        assert found.verdict.passed

    @pytest.mark.parametrize("share", [1.0, 1.5, math.inf])
    def test_at_the_critical_moment_it_fails(self, share: float) -> None:
        found = bending_torsion.interaction(0.1, 0.0, 0.1, reduction=1.0, major_to_critical=share)
        assert not found.verdict.passed
        assert "unstable" in found.verdict.words

    @given(st.floats(0, 5), st.floats(0, 5), st.floats(0, 5), st.floats(0, 0.99))
    def test_overload_never_passes(self, major: float, minor: float, b: float, cr: float) -> None:
        """Factors that turn negative beyond full use must not reward more load."""
        found = bending_torsion.interaction(major, minor, b, reduction=1.0, major_to_critical=cr)
        if max(major, minor, b) > 1:
            assert not found.verdict.passed


class TestServiceability:
    def test_either_part_may_be_switched_off(self) -> None:
        assert masonry_limit(360, "in", absolute_inches=None).value == pytest.approx(0.6)
        assert masonry_limit(144, "in", ratio=None).value == pytest.approx(0.3)
        with pytest.raises(InputError, match="both masonry limits"):
            masonry_limit(144, "in", ratio=None, absolute_inches=None)

    def test_units(self) -> None:
        assert masonry_limit(1e5, "mm").value == pytest.approx(7.62)
        assert masonry_limit(1e3, "m").value == pytest.approx(7.62e-3)
        with pytest.raises(InputError, match="unit 'furlong'"):
            masonry_limit(1, "furlong")

    def test_twist_and_others(self) -> None:
        assert twist_limit().value == pytest.approx(math.radians(2))
        assert twist_limit(0.5).source == "set by the user"
        assert span_limit(7.0, 350).value == pytest.approx(0.02)
        assert math.degrees(leg_rotation().value) == pytest.approx(0.597, abs=1e-3)


class TestConnections:
    def test_couple(self) -> None:
        value, i = check("end_couple")
        assert end_couple(i["T"] / 2, i["ho"]) == pytest.approx(value, rel=1e-7)

    def test_bearing_pair(self) -> None:
        pair = bearing_pair_forces(30.0, 40.0, 2.0)
        assert pair.forces == (-5.0, 35.0)
        assert pair.uplift == 5.0
        assert pair.spacing_needed == pytest.approx(80 / 30)
        assert bearing_pair_forces(30.0, 40.0, pair.spacing_needed).uplift == pytest.approx(0)


class TestHandMethods:
    def test_flange_analogy_without_warping_is_one(self) -> None:
        """Figures of hand methods are in `benchmarks.checks.hand_methods`."""
        assert flange_analogy_factor(1.0, math.inf) == 1.0

    def test_shear_flow_of_a_triangular_tube(self) -> None:
        """Hibbeler, thin-walled tube example (from memory). SI."""
        _, i = check("hib_tri")
        area = math.sqrt(3) / 4 * i["b"] ** 2
        torque = 2 * area * i["t"] * i["tau"]
        assert thin_tube_shear_flow(torque, area) / i["t"] == pytest.approx(i["tau"])


def test_a_verdict_never_holds_not_a_number() -> None:
    verdict = Verdict("rule", math.nan, "source", "from memory")
    assert verdict.ratio == math.inf
    assert not verdict.passed
    assert "licensed engineer" in MEMBER


@pytest.mark.parametrize(
    "call",
    [
        lambda: round_constant(5, 3),
        lambda: rectangular_constant(4, 6, 2.5),
        lambda: rectangular_strength(29000, 0, 20, 10),
        lambda: interaction(-0.1, 0, 0, 0.5),
        lambda: shear_reduction("I", 1, -355),
        lambda: bending_torsion.interaction(0.1, 0, 0, reduction=0, major_to_critical=0.1),
        lambda: critical_moment(1, 1, 1, 1, 1, -1),
        lambda: critical_moment(1, 1, 1, 1, -1, 1),
        lambda: twist_limit(0),
        lambda: span_limit(1, 0),
        lambda: end_couple(1, 0),
        lambda: weld_throat(1, -2),
        lambda: thin_tube_constant(-1, 2),
        lambda: slit_ratios(1, 2),
        lambda: flange_analogy_factor(0, 1),
    ],
)
def test_figures_that_make_no_sense_are_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError):
        call()
