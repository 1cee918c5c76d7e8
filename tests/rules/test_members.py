"""Codes applied to members: figures worked by hand from tables and statics."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.member.record import member_json
from soapfilm.report.member.table import member_table
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess
from soapfilm.solver.rules.applied_rule import AppliedRule
from soapfilm.solver.rules.lateral_buckling import reduction

BEAM = """
unit = "mm"
[section.beam]
{section}
[[span]]
length = "{length} m"
[[support]]
at = ["start", "end"]
kind = "fork"
{loads}
[analysis]
sections = "keep their shape"
[[code]]
{code}
"""
HEB = 'shape = "HEB300"\nmaterial = "S355"'
TUBE = 'shape = "HFRHS300X200X10"\nmaterial = "S355"'
ECCENTRIC = '[[load]]\nweight = "20 kN/m"\nplace = [150, 0]'


def solved(section: str, loads: str, code: str, length: float = 6.0) -> Assessment:
    """A beam between forks."""
    text = BEAM.format(section=section, loads=loads, code=code, length=length)
    return assess(member_from_toml(text), cures=False)


def row(assessment: Assessment, rule: str) -> AppliedRule:
    """The one rule whose name begins so."""
    (review,) = assessment.codes
    (found,) = [r for r in review.rows if r.rule.startswith(rule)]
    return found


def figure(rule: AppliedRule, symbol: str) -> float:
    """A symbol of its equation."""
    (value,) = [f.value for f in rule.figures if f.symbol == symbol]
    return value


class TestEuropeanSteel:
    """EN 1993 on a rolled beam; A_v = 47.43 cm^2 and W_pl = 1869 cm^3 are those of section tables
    (from memory)."""

    beam = solved(HEB, ECCENTRIC, 'family = "EN 1993"\nmade = "rolled"')

    def test_shear_beside_torsion(self) -> None:
        rule = row(self.beam, "shear upright")
        assert figure(rule, "A_v") == pytest.approx(4743, rel=1e-3)
        assert figure(rule, "V_y") == pytest.approx(60e3, rel=1e-9)
        left = math.sqrt(1 - figure(rule, "tau_t") / (1.25 * 355 / math.sqrt(3)))
        plastic = figure(rule, "A_v") * 355 / math.sqrt(3) * left
        assert figure(rule, "V_pl,T,Rd") == pytest.approx(plastic, rel=1e-9)

    def test_bending_and_bimoment(self) -> None:
        rule = row(self.beam, "axial force, bending, bimoment (class 1")
        assert figure(rule, "M_x,Rd") == pytest.approx(1869e3 * 355, rel=1e-3)
        assert figure(rule, "M_x") == pytest.approx(20 * 6000**2 / 8, rel=1e-9)
        flange = 355 * 19 * 300**2 / 4 * (300 - 19)
        assert figure(rule, "B_Rd") == pytest.approx(flange, rel=2e-3)
        use = figure(rule, "M_x") / figure(rule, "M_x,Rd") + figure(rule, "B_Ed") / flange
        assert rule.verdict.ratio == pytest.approx(use, rel=2e-3)

    def test_lateral_buckling_takes_the_turned_moment(self) -> None:
        rule = row(self.beam, "lateral buckling")
        solution = self.beam.solution
        twist = abs(solution.at(3000.0).phi[0, 0])
        turned = twist * 20 * 6000**2 / 8
        assert figure(rule, "M_y + phi M_x") == pytest.approx(turned, rel=1e-6)
        moment = solution.critical[0].factor * 20 * 6000**2 / 8
        assert figure(rule, "M_cr") == pytest.approx(moment, rel=1e-6)

    def test_buckling_curve(self) -> None:
        """chi_LT of curve a at slenderness 1: phi = 1.084, chi = 0.666 (from memory of tables)."""
        assert reduction(1.0, 1.0, "rolled", deep=False) == pytest.approx(0.6656, abs=2e-3)
        assert reduction(1.0, math.inf, "rolled", deep=False) == 1.0

    def test_a_curve_in_plan_has_no_annex_a(self) -> None:
        text = BEAM.format(
            section=HEB, loads=ECCENTRIC, code='family = "EN 1993"', length=6
        ).replace('length = "6 m"', 'length = "6 m"\nradius = "30 m"')
        (review,) = assess(member_from_toml(text), cures=False).codes
        assert not any(r.rule.startswith("lateral") for r in review.rows)
        assert any("curved" in words for words in review.left_out)

    def test_torsion_that_uses_all_fails_and_is_no_nan(self) -> None:
        load = '[[load]]\nat = "middle"\nT = "60 kN*m"\n' + ECCENTRIC
        rule = row(solved(HEB, load, 'family = "EN 1993"'), "shear upright")
        assert math.isinf(rule.verdict.ratio)
        assert not rule.verdict.passed

    def test_a_slender_web_is_refused(self) -> None:
        section = (
            'unit = "mm"\n[[section.beam.shape]]\nprofile = "IShape"\nOverallWidth = 300\n'
            'OverallDepth = 1200\nWebThickness = 6\nFlangeThickness = 20\nmaterial = "S355"'
        )
        (review,) = solved(section, ECCENTRIC, 'family = "EN 1993"').codes
        assert any("class 4" in words for words in review.left_out)
        assert {r.rule.split()[0] for r in review.rows} == {"elastic", "shear"}


class TestAmericanSteel:
    """AISC 360 H3 on a tube and on an open shape."""

    def test_tube(self) -> None:
        beam = solved(
            TUBE, ECCENTRIC + '\n[[load]]\nat = "middle"\nT = "-180 kN*m"', 'family = "AISC 360"'
        )
        torsion = row(beam, "torsion of a tube")
        constant = 2 * 190 * 290 * 10 - 4.5 * (4 - math.pi) * 10**3
        assert figure(torsion, "T_c") == pytest.approx(0.9 * 0.6 * 355 * constant, rel=1e-3)
        assert figure(torsion, "T_r") == pytest.approx(90e6 + 9e6, rel=1e-6)
        together = row(beam, "tube in combined")
        share = (
            figure(together, "M_r/M_c")
            + (figure(together, "V_r/V_c") + figure(together, "T_r/T_c")) ** 2
        )
        assert together.verdict.ratio == pytest.approx(share, rel=1e-9)

    def test_allowable_strength_is_lower(self) -> None:
        lrfd = row(solved(TUBE, ECCENTRIC, 'family = "AISC 360"'), "torsion")
        asd = row(solved(TUBE, ECCENTRIC, 'family = "AISC 360"\ndesign = "ASD"'), "torsion")
        assert asd.verdict.ratio / lrfd.verdict.ratio == pytest.approx(0.9 * 1.67, rel=1e-9)

    def test_a_wall_beyond_the_rule_is_told_and_stops_nothing(self) -> None:
        section = (
            'unit = "mm"\n[[section.beam.shape]]\nprofile = "RectangleHollow"\nXDim = 300\n'
            'YDim = 600\nWallThickness = 2\nmaterial = "S355"'
        )
        (review,) = solved(section, ECCENTRIC, 'family = "AISC 360"').codes
        assert not review.rows
        assert any("260" in words for words in review.left_out)

    def test_open_shape(self) -> None:
        beam = solved(HEB, ECCENTRIC, 'family = "AISC 360"')
        stress = beam.stress
        assert stress is not None
        shear = row(beam, "shear yield")
        assert shear.verdict.ratio == pytest.approx(
            float(stress.shear.max()) / (0.9 * 0.6 * 355), rel=1e-9
        )


class TestConcrete:
    """EN 1992-1-1 on 400 x 600 of C30/37, by hand: t_ef 120, A_k 280 x 480, u_k 1520."""

    section = (
        'unit = "mm"\n[[section.beam.shape]]\nprofile = "Rectangle"\nXDim = 400\nYDim = 600\n'
        'material = "C30/37"'
    )
    code = 'family = "EN 1992-1-1"\nf_ck = "30 MPa"\nedge_to_bar = "50 mm"'

    def test_struts(self) -> None:
        rule = row(solved(self.section, ECCENTRIC, self.code), "struts")
        nu = 0.6 * (1 - 30 / 250)
        torque = 2 * nu * 20 * 280 * 480 * 120 / 2
        shear = 400 * 0.9 * 550 * nu * 20 / 2
        assert figure(rule, "T_Rd,max") == pytest.approx(torque, rel=1e-6)
        assert figure(rule, "V_Rd,max") == pytest.approx(shear, rel=1e-6)
        assert rule.verdict.ratio == pytest.approx(9e6 / torque + 60e3 / shear, rel=1e-6)
        f_yd = 500 / 1.15
        bars = 9e6 * 1520 / (2 * 280 * 480 * f_yd)
        assert figure(rule, "A_sl for torsion") == pytest.approx(bars, rel=1e-6)

    def test_provided_steel_is_held_against_the_need(self) -> None:
        code = self.code + '\nlinks = "0.4 mm"\nbars = "100 mm^2"'
        beam = solved(self.section, ECCENTRIC, code)
        assert row(beam, "links").verdict.passed
        assert not row(beam, "bars along").verdict.passed

    def test_steel_is_no_concrete(self) -> None:
        (review,) = solved(TUBE, ECCENTRIC, self.code).codes
        assert not review.rows
        assert any("no code for concrete" in words for words in review.left_out)


def test_table_and_record_say_equation_source_and_caution() -> None:
    beam = solved(HEB, ECCENTRIC, 'family = "EN 1993"')
    text = " ".join(member_table(beam).split())
    assert "M_x,Rd = " in text
    assert "EN 1993-6:2007 Annex A" in text
    assert "a licensed engineer" in text
    record: Any = json.loads(member_json(beam))["codes"][0]
    assert record["family"] == "EN 1993"
    assert {"rule", "equation", "used", "stations", "provenance"} <= record["rules"][0].keys()


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ('family = "EN 1994"', "EN 1993"),
        ('family = "EN 1993"\ngamma_M0 = 0', "partial factor"),
        ('family = "EN 1993"\nC_mz = 2', "C_mz"),
        ('family = "EN 1992-1-1"', "f_ck"),
        ('family = "EN 1992-1-1"\nf_ck = "30 MPa"\nedge_to_bar = "0 mm"', "edge_to_bar"),
        ('family = "EN 1992-1-1"\nf_ck = "30 MPa"\nedge_to_bar = "5 cm"\ncot_theta = 3', "2.5"),
        ('family = "AISC 360"\ncombinations = ["none"]', "none"),
        ('family = "AISC 360"\ngamma_M0 = 1', "gamma_M0"),
    ],
)
def test_bad_input(code: str, said: str) -> None:
    with pytest.raises(InputError, match=r"code 1") as caught:
        solved(HEB, ECCENTRIC, code)
    assert said in str(caught.value)
