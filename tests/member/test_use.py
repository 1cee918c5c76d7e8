"""What an engineer reads off a solved member: limits, stress envelope, diagnosis, cures,
patterns."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import Combination, LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.pattern import by_span, span_patterns
from soapfilm.solver.member.model.restraint import Deck, TwistSpring
from soapfilm.solver.member.model.support import bearing_pair, fork, warping_held
from soapfilm.solver.member.review.cure_effect import by_classical, cure_effects
from soapfilm.solver.member.review.diagnosis import restraint_effects, torque_shares
from soapfilm.solver.member.review.eccentricity import load_torques
from soapfilm.solver.member.review.envelope import UnitStresses, stress_envelope
from soapfilm.solver.member.review.movement_limits import MovementLimit, TwistLimit, utilisation
from soapfilm.solver.member.review.remedy import standard_cures, warping_held_at_ends

from benchmarks.checks.formulas.deck_reaction import deck_reactions

from .models import closed_section, skew_section, unit_section


def girder(u: float = 2.0, **more: object) -> Member:
    """Two joists off centre and a line of bricks, invented; length 1."""
    loads = (
        PointLoad(0.3, force=(0, -1.2, 0), place=Place(dx=0.2), case="joists", name="joist 1"),
        PointLoad(0.7, force=(0, -1.0, 0), place=Place(dx=0.2), case="joists", name="joist 2"),
        LineLoad(0, 1, force=(0, -0.5, 0), place=Place(dx=-0.1), case="bricks", name="bricks"),
    )
    return Member.prismatic(1.0, unit_section(u), [fork(0), fork(1)], loads=loads, **more)


class TestLimits:
    def test_rows_name_the_governing_case_and_pass_or_fail(self) -> None:
        member = girder(points={"wall": (-0.1, 0.0)})
        solution = solve(member)
        z = np.linspace(0, 1, 4001)
        phi = np.abs(solution.at(z).phi)
        place, worst = np.unravel_index(phi.argmax(), phi.shape)
        degrees = math.degrees(phi[place, worst])
        rows = utilisation(
            solution,
            [
                TwistLimit(degrees * 1.001),
                TwistLimit(degrees * 0.9),
                MovementLimit("wall", span_ratio=600, combinations=("bricks",)),
                MovementLimit("wall", absolute=1.0),
            ],
        )
        assert [r.passed for r in rows] == [True, False, False, True]
        assert rows[0].combination == solution.names[worst]
        assert rows[0].station == pytest.approx(z[place], abs=5e-3)
        assert "exceeded" in rows[1].words
        wall = solution.movement("wall", rows[2].station)[1][0, solution.column("bricks")]
        assert rows[2].value == pytest.approx(wall)
        assert rows[2].allowed == pytest.approx(1 / 600)
        assert rows[2].combination == "bricks"

    def test_span_limits_are_taken_span_by_span(self) -> None:
        member = girder().with_(supports=(fork(0), fork(0.4), fork(1)))
        rows = utilisation(solve(member), [MovementLimit(span_ratio=100)])
        assert [r.allowed for r in rows] == pytest.approx([0.004, 0.006])
        assert "span 2" in rows[1].limit

    def test_masonry(self) -> None:
        rows = utilisation(solve(girder()), [MovementLimit(masonry_unit="in")])
        assert rows[0].allowed == pytest.approx(min(1 / 600, 0.3))
        assert rows[0].provenance == "read"
        long = MovementLimit(masonry_unit="in", masonry_ratio=None)
        assert utilisation(solve(girder()), [long])[0].allowed == pytest.approx(0.3)

    def test_a_limit_without_a_figure_is_refused(self) -> None:
        with pytest.raises(InputError, match="needs span_ratio"):
            MovementLimit("wall")


class TestEnvelope:
    def units(self, sharp: bool = False) -> UnitStresses:
        """Five points with made-up but ordered unit stresses."""
        rng = np.random.default_rng(3)
        sigma, tau = np.zeros((8, 5)), np.zeros((8, 5, 2))
        sigma[[0, 1, 2, 7]] = rng.normal(size=(4, 5))
        tau[3:7] = rng.normal(size=(4, 5, 2))
        mask = np.array([True, True, False, True, True]) if sharp else None
        return UnitStresses(rng.normal(size=(5, 2)), sigma, tau, mask)

    def test_is_the_plain_loop(self) -> None:
        stations = solve(girder()).diagram(per_element=6)
        units = self.units()
        found = stress_envelope(stations, units)
        actions = stations.actions
        best = (-1.0, 0, 0, 0)
        for i in range(actions.shape[0]):
            for c in range(actions.shape[1]):
                for p in range(5):
                    s = actions[i, c] @ units.sigma[:, p]
                    t = actions[i, c] @ units.tau[:, p]
                    best = max(best, (math.sqrt(s * s + 3 * t @ t), i, c, p))
        value, z, name, point = found.worst
        assert value == pytest.approx(best[0], rel=1e-12)
        assert z == stations.z[best[1]]
        assert name == stations.names[best[2]]
        assert point == pytest.approx(tuple(units.points[best[3]]))
        normal = np.einsum("mca,ap->mcp", actions, units.sigma)
        assert found.tension == pytest.approx(normal.max(axis=2), abs=1e-15)
        assert found.compression == pytest.approx(normal.min(axis=2), abs=1e-15)

    def test_chunks_do_not_matter(self, monkeypatch: pytest.MonkeyPatch) -> None:
        from soapfilm.solver.member.review import envelope

        stations = solve(girder()).diagram(per_element=6)
        whole = stress_envelope(stations, self.units())
        monkeypatch.setattr(envelope, "CHUNK", 37)
        parts = stress_envelope(stations, self.units())
        assert parts.mises == pytest.approx(whole.mises, abs=0)
        assert np.array_equal(parts.point, whole.point)

    def test_points_at_sharp_corners_count_without_shear_only(self) -> None:
        stations = solve(girder()).diagram(per_element=6)
        found = stress_envelope(stations, self.units(sharp=True))
        assert not np.any(found.point == 2)

    def test_wide_flange_stress_by_hand(self) -> None:
        """sigma = M y / I - ... + B omega / C_w at the four flange tips of an I, added with
        signs."""
        section = skew_section(
            product_moment=0.0, centroid=(0, 0), shear_centre=(0, 0), warping_constant=1e11
        )
        load = PointLoad(2000.0, force=(0, -5e3, 0), place=Place(dx=40.0))
        member = Member.prismatic(4000.0, section, [fork(0), fork(4000.0)], loads=(load,))
        stations = solve(member).at([2000.0])
        b, h = 75.0, 145.0
        tips = np.array([(b, h), (-b, h), (b, -h), (-b, -h)])
        omega = np.array([x * y for x, y in tips])
        sigma = np.zeros((8, 4))
        sigma[1] = tips[:, 1] / section.second_moment_x
        sigma[2] = -tips[:, 0] / section.second_moment_y
        # sigma_omega = E phi'' omega = -B omega / C_w with u_z = phi' omega.
        sigma[7] = -omega / section.warping_constant
        found = stress_envelope(stations, UnitStresses(tips, sigma, np.zeros((8, 4, 2))))
        bending = 5e3 * 4000 / 4 * h / section.second_moment_x
        warping = abs(stations.B[0, 0]) * b * h / section.warping_constant
        assert found.mises[0, 0] == pytest.approx(bending + warping, rel=1e-12)

    def test_wrong_shapes(self) -> None:
        with pytest.raises(InputError, match="unit stresses need shapes"):
            UnitStresses(np.zeros((5, 2)), np.zeros((8, 4)), np.zeros((8, 5, 2)))


class TestDiagnosis:
    @pytest.mark.parametrize(("u", "share"), [(1e-2, 1.0), (300.0, 0.0)])
    def test_short_spans_warp_and_long_ones_do_not(self, u: float, share: float) -> None:
        rows = torque_shares(solve(girder(u)))
        assert rows[0].warping == pytest.approx(share, abs=2e-2)
        assert rows[0].length_ratio == pytest.approx((u,))

    def test_shares_are_the_integrals(self) -> None:
        """Midspan torque between forks: T_t = (T/2)(1 - cosh(z/a)/cosh(u/2)) up to midspan."""
        u = 3.0
        load = PointLoad(0.5, moment=(0, 0, 1.0))
        member = Member.prismatic(1.0, unit_section(u), [fork(0), fork(1)], loads=(load,))
        share = torque_shares(solve(member))[0].warping
        assert share == pytest.approx(math.tanh(u / 2) / (u / 2), rel=1e-6)

    def test_the_governing_restraint_comes_first(self) -> None:
        member = girder(restraints=(TwistSpring(0.5, 1e3, name="tie"),))
        rows = restraint_effects(member)
        assert all(a.growth >= b.growth for a, b in pairwise(rows))
        tie = next(r for r in rows if r.title == "tie")
        free, held = solve(girder()), solve(member)
        ratio = (
            np.abs(free.diagram(count=200).phi).max() / np.abs(held.diagram(count=200).phi).max()
        )
        assert tie.growth == pytest.approx(ratio)

    def test_a_hold_without_which_the_member_is_loose(self) -> None:
        member = girder().with_(supports=(fork(0), fork(1, twist="free")))
        rows = {(r.title, r.freedom): r.growth for r in restraint_effects(member)}
        assert rows["support at 0", "twist"] == math.inf


class TestCures:
    def test_each_is_solved_on_the_same_member(self) -> None:
        member = girder()
        tube = unit_section(2.0, torsion_constant=200.0, name="tube")
        cures = standard_cures(member, secondary=50.0, sections={"tube": tube})
        rows = {r.title: r for r in cure_effects(member, cures)}
        assert next(iter(rows)) == "existing"
        twist = rows["existing"].twist
        assert twist is not None
        assert rows["loads moved to the shear centre"].twist == pytest.approx(0, abs=1e-15)
        for title in ("secondary beams moment-connected", "warping restrained at the ends", "tube"):
            assert 0 < rows[title].twist < twist
            assert rows[title].twist_ratio == pytest.approx(rows[title].twist / twist)

    def test_warping_cure_is_the_support_it_says(self) -> None:
        cured = solve(warping_held_at_ends(girder()).member).at(0.5)
        direct = solve(girder().with_(supports=(warping_held(0), warping_held(1)))).at(0.5)
        assert cured.phi == pytest.approx(direct.phi, rel=1e-12)

    def test_stress_is_what_the_given_function_says(self) -> None:
        rows = cure_effects(
            girder(),
            [warping_held_at_ends(girder())],
            by_classical(lambda s: float(np.abs(s.diagram(count=50).B).max())),
        )
        assert rows[0].stress_ratio == 1.0
        assert rows[1].stress_ratio == pytest.approx(rows[1].stress / rows[0].stress)

    def test_a_cure_that_cannot_be_solved_is_a_row_with_its_reason(self) -> None:
        from soapfilm.solver.member.review.remedy import Cure

        loose = girder().with_(supports=(fork(0, twist="free"), fork(1, twist="free")))
        rows = cure_effects(girder(), [Cure("cut loose", loose)])
        assert rows[1].twist is None
        assert "rotate freely" in rows[1].failure


class TestPatterns:
    spans = ((0.0, 0.4), (0.4, 1.0))

    def test_parts_add_up_to_the_whole(self) -> None:
        load = LineLoad(0.1, 0.9, (0, -1, 0), (0, -3, 0), torque=0.2, torque_end=0.6, case="live")
        parts = by_span(load, self.spans)
        assert [p.case for p in parts] == ["live, span 1", "live, span 2"]
        base = girder().with_(supports=(fork(0), fork(0.4), fork(1)), loads=(load,))
        split = base.with_(
            loads=parts, combinations=span_patterns([p.case for p in parts], 1.0)[:1]
        )
        z = [0.2, 0.4, 0.7]
        assert solve(split).at(z).phi == pytest.approx(solve(base).at(z).phi, rel=1e-12)
        assert solve(split).at(z).M_x == pytest.approx(solve(base).at(z).M_x, rel=1e-12)

    def test_combinations(self) -> None:
        names = [f"live, span {n}" for n in (1, 2, 3)]
        made = {c.name: c.factors for c in span_patterns(names, 1.5, {"dead": 1.35})}
        assert made["live on odd spans"] == {"dead": 1.35, names[0]: 1.5, names[2]: 1.5}
        assert made["live on even spans"] == {"dead": 1.35, names[1]: 1.5}
        assert made["live on spans 2 and 3"] == {"dead": 1.35, names[1]: 1.5, names[2]: 1.5}

    def test_member_spans(self) -> None:
        member = girder().with_(supports=(fork(0), fork(0.4), fork(0.8)))
        assert member.spans == ((0.0, 0.4), (0.4, 0.8), (0.8, 1.0))
        ring = Member.prismatic(Axis.ring(1.0), unit_section(2.0), [fork(0), fork(2.0), fork(4.0)])
        assert ring.spans[-1] == pytest.approx((4.0, 2 * math.pi))


def test_combinations_are_sums_with_factors() -> None:
    sums = (Combination("uls", {"joists": 1.5, "bricks": -1.35}), Combination("none", {}))
    single, both = solve(girder()), solve(girder(combinations=sums))
    z = [0.2, 0.5]
    for word in ("phi", "v", "B", "M_x"):
        a, b = getattr(single.at(z), word), getattr(both.at(z), word)
        assert b[:, 0] == pytest.approx(1.5 * a[:, 0] - 1.35 * a[:, 1], rel=1e-12)
        assert np.abs(b[:, 1]).max() == 0


def test_torques_of_loads_are_reported() -> None:
    rows = {r.title: r for r in load_torques(girder())}
    assert rows["joist 1"].torque == pytest.approx(-0.24)
    assert rows["joist 1"].arm == pytest.approx((0.2, 0.0))
    assert rows["bricks"].torque == pytest.approx(0.05)
    total = sum(r.torque for r in rows.values())
    held = sum(r.torque for c in solve(girder()).reactions for r in c)
    assert held == pytest.approx(-total, rel=1e-12)


def test_diagram_has_both_sides_of_every_jump() -> None:
    table = solve(girder()).diagram(per_element=3)
    at = np.flatnonzero(np.isclose(table.z, 0.3))
    assert len(at) == 2
    jump = table.V_y[at[1], 0] - table.V_y[at[0], 0]
    assert jump == pytest.approx(1.2)
    assert table.T[at[1], 0] - table.T[at[0], 0] == pytest.approx(0.24)
    assert solve(girder()).at(0.3, side="left").V_y[0, 0] == pytest.approx(table.V_y[at[0], 0])


def test_results_describe_themselves_in_a_few_lines() -> None:
    solution = solve(girder())
    assert "joists" in repr(solution)
    assert len(repr(solution).splitlines()) <= 8
    assert len(repr(solution.at(0.5)).splitlines()) <= 8


def test_sections_that_do_not_warp_join_those_that_do() -> None:
    """At the joint the bimoment vanishes; against a collocation-free closed form: two shafts in
    series."""
    from soapfilm.solver.member.model.member import Segment
    from soapfilm.solver.member.model.support import fixed

    plain = closed_section(warping_constant=0.0)
    open_ = closed_section(warping_constant=50.0)
    length, torque = 10.0, 3.0
    member = Member(
        Axis.straight(2 * length),
        (Segment(0, length, plain), Segment(length, 2 * length, open_)),
        (fixed(0.0, warping="free"),),
        loads=(PointLoad(2 * length, moment=(0, 0, torque)),),
    )
    solution = solve(member)
    gj = plain.shear_modulus * plain.torsion_constant
    # Free to warp at the joint and at the tip: uniform torsion all along.
    assert solution.at(2 * length).phi[0, 0] == pytest.approx(torque * 2 * length / gj, rel=1e-12)
    assert np.abs(solution.diagram().B).max() < 1e-12 * torque * length
    other_way = member.with_(
        segments=(Segment(0, length, open_), Segment(length, 2 * length, plain)),
        supports=(fixed(0.0),),
    )
    a = open_.characteristic_length
    twist = torque / gj * (length - a * math.tanh(length / a)) + torque * length / gj
    assert solve(other_way).at(2 * length).phi[0, 0] == pytest.approx(twist, rel=1e-12)


def test_constants_come_from_a_solved_section() -> None:
    from soapfilm.geometry.material import Material
    from soapfilm.geometry.outline.contour import Contour
    from soapfilm.geometry.section import Section
    from soapfilm.solver.member.model.section_source import constants_of
    from soapfilm.solver.section import solve_section

    steel = Material("steel", 210e3, 0.3, density=7.85e-9)
    angle = Contour([(0, 0), (100, 0), (100, 10), (10, 10), (10, 80), (0, 80)])
    result = solve_section(Section.single(angle, material=steel, name="angle", unit="mm"))
    found = constants_of(result)
    assert found.area == pytest.approx(1700.0, rel=1e-9)
    assert found.shear_modulus == pytest.approx(210e3 / 2.6)
    assert found.width == pytest.approx(100.0)
    assert found.mass_per_length == pytest.approx(1700 * 7.85e-9, rel=1e-9)
    # The shear centre of an angle lies where its legs' middle lines meet, nearly.
    assert found.shear_centre == pytest.approx((5.0, 5.0), abs=2.0)
    with pytest.raises(InputError, match="names no material"):
        constants_of(solve_section(Section.single(angle)))


def test_a_round_bar_carries_no_warping_torque() -> None:
    """It stays plane, so there is no secondary torsion constant either, whatever rounding says."""
    from soapfilm.geometry.material import Material
    from soapfilm.geometry.outline.contour import Contour
    from soapfilm.geometry.section import Section
    from soapfilm.solver.member.model.section_source import constants_of
    from soapfilm.solver.section import solve_section

    steel = Material("steel", 210e3, 0.3)
    bar = Section.single(Contour.circle((0, 0), 50), material=steel, unit="mm")
    found = constants_of(solve_section(bar), secondary_torsion_constant=1.0)
    assert found.warping_constant == 0
    assert found.secondary_torsion_constant is None


def test_a_deck_holds_what_the_supports_do_not() -> None:
    deck = Deck(0.2, 0.7, twist_stiffness=20.0, lateral_stiffness=3.0, level=0.15)
    section = unit_section(4.0, shear_centre=(0.03, -0.02))
    load = LineLoad(0, 1, force=(0.4, -1.0, 0), place=Place(dx=0.2))
    member = Member.prismatic(1.0, section, [fork(0), fork(1)], restraints=(deck,), loads=(load,))
    solution = solve(member)
    row = deck_reactions(solution)[0]
    torque = sum(r.torque for r in solution.reactions[0]) + row.torque[0]
    assert torque == pytest.approx(-load_torques(member)[0].torque, rel=1e-10)
    across = sum(r.force[0] for r in solution.reactions[0]) + row.lateral[0]
    assert across == pytest.approx(-0.4, rel=1e-10)
    assert row.largest_torque[0] > 0


@pytest.mark.parametrize("u", [3e3, 3e4, 1e6])
def test_thin_layers_on_a_deck_cost_neither_time_nor_twist(u: float) -> None:
    """Far from the ends phi follows G J phi'' = k phi - t whatever the layers do."""
    gj, k = 1.0, 9.0
    deck = Deck(0.0, 1.0, twist_stiffness=k)
    load = LineLoad(0, 1, torque=1.0)
    member = Member.prismatic(
        1.0, unit_section(u), [fork(0), fork(1)], restraints=(deck,), loads=(load,)
    )
    root = math.sqrt(k / gj)
    middle = (1 - 1 / math.cosh(root / 2)) / k
    assert solve(member).at(0.5).phi[0, 0] == pytest.approx(middle, rel=1e-5)


def test_what_theory_leaves_out_is_said() -> None:
    from soapfilm.solver.member.model.member import Segment

    segments = (Segment(0, 0.5, unit_section(2.0)), Segment(0.5, 1, unit_section(3.0)))
    assert any("steps from" in note for note in solve(girder().with_(segments=segments)).notes)
    thin = Member.prismatic(
        1.0, unit_section(1e6), [fork(0), fork(1)], loads=(LineLoad(0, 1, torque=1.0),)
    )
    assert any("counts as not warping" in note for note in solve(thin).notes)
    bend = Member.prismatic(
        Axis.arc(10.0, 30.0),
        closed_section(),
        [fork(0), fork(10.0)],
        loads=(LineLoad(0, 10, force=(0, -1.0, 0)),),
    )
    assert any("less than 5 widths" in note for note in solve(bend).notes)
    tilted = Member.prismatic(
        10.0,
        closed_section(),
        [bearing_pair(z, 2.0, holds_down=True) for z in (0.0, 10.0)],
        loads=(LineLoad(0, 10, force=(0, -1.0, 0), place=Place(dx=3.0)),),
    )
    found = solve(tilted)
    told = [note for note in found.notes if "must hold down" in note]
    assert len(told) == 2  # a bearing of each pair
    held = [b.force for r in found.reactions[0] for b in r.bearings]
    assert min(held) == pytest.approx(-5.0)


def test_what_many_combinations_share_is_told_once() -> None:
    loads = [
        LineLoad(0, 10, force=(0, -1.0, 0), place=Place(dx=3.0), case=f"place {n}")
        for n in range(3)
    ]
    tilted = Member.prismatic(
        10.0,
        closed_section(),
        [bearing_pair(0.0, 2.0, holds_down=True), fork(10.0)],
        loads=loads,
    )
    told = [note for note in solve(tilted).notes if "must hold down" in note]
    who = "bearing 1 of support at 0"
    assert told == [f"{who} must hold down under combination 'place 0' and 2 more"]
