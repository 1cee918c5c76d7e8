"""Bad input ends in one clear line that says what, where and what to do."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from soapfilm.geometry.errors import InputError, SoapfilmError
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Arc, Axis, Kink, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import Combination, LineLoad, Place, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, TwistSpring
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Bearing, Support, bearing_pair, fork

from .models import closed_section, unit_section

S = unit_section(2.0)
TORQUE = PointLoad(0.5, moment=(0, 0, 1.0))


def member(**changes: object) -> Member:
    figures: dict[str, object] = {
        "axis": Axis.straight(1.0),
        "segments": (Segment(0, 1, S),),
        "supports": (fork(0), fork(1)),
        "loads": (TORQUE,),
    }
    return Member(**(figures | changes))  # type: ignore[arg-type]


CASES: list[tuple[Callable[[], object], str]] = [
    (lambda: member(loads=(PointLoad(1.2, moment=(0, 0, 1)),)), "position 1.2 lies outside"),
    (lambda: member(loads=(LineLoad(-0.1, 0.5),)), "position -0.1 lies outside"),
    (lambda: member(supports=(fork(0), fork(2))), "position 2 lies outside"),
    (lambda: member(restraints=(TwistSpring(3.0, 1.0),)), "position 3 lies outside"),
    (lambda: member(restraints=(Deck(0.5, 1.5, 1.0),)), "position 1.5 lies outside"),
    (lambda: LineLoad(0.5, 0.5), "start must lie before end"),
    (lambda: LineLoad(0, 1, measured_along="chord"), "say 'axis' or 'line'"),  # type: ignore[arg-type]
    (lambda: PointLoad(0.5, force=(0, math.nan, 0)), "finite number"),
    (lambda: TwistSpring(0.5, -3.0), "stiffness must not be negative, got -3"),
    (lambda: TwistSpring(0.5, 1.0, slip=-0.1), "slip must be an angle"),
    (lambda: Deck(0.1, 0.9, twist_stiffness=-1), "stiffness must not be negative"),
    (lambda: Deck(0.9, 0.1, 1.0), "start must lie before end"),
    (lambda: Support(0, twist=-1.0), "twist stiffness must not be negative"),
    (lambda: Support(0, twist="welded"), "say 'free', 'held' or a stiffness"),  # type: ignore[arg-type]
    (lambda: Support(0, lever_arm=0), "lever_arm must be positive"),
    (lambda: Support(0, twist_slip=math.inf), "twist_slip"),
    (lambda: Bearing(0.0, stiffness=0), "leave it out for rigid"),
    (lambda: bearing_pair(0.0, -1.0), "spacing must be positive"),
    (lambda: Arc(1.0, 0.0), "arc radius"),
    (lambda: Axis(()), "one piece at least"),
    (lambda: Axis((Straight(-1.0),)), "length must be positive"),
    (lambda: member(segments=(Segment(0, 0.4, S), Segment(0.5, 1, S))), "without gaps"),
    (lambda: member(segments=(Segment(0, 0.9, S),)), "the segments end at 0.9"),
    (
        lambda: Member.prismatic(Axis.arc(10.0, 5.9), closed_section(), [fork(0), fork(10)]),
        "radius 5.9 is not larger than the 6 from the axis to the inner side",
    ),
    (
        lambda: member(combinations=(Combination("uls", {"laod": 1.35}),)),
        r"load case 'laod' has no loads \(did you mean 'load'\?\)",
    ),
    (
        lambda: member(combinations=(Combination("a", {}), Combination("a", {}))),
        "two combinations are named 'a'",
    ),
    (lambda: Combination("a", {"load": math.inf}), "finite number"),
    (
        lambda: member(loads=(PointLoad(0.5, (0, 1, 0), Place("shear_center")),)),
        "did you mean 'shear_centre'",
    ),
    (lambda: member(loads=(SelfWeight(9.81),)), "needs the mass of section"),
    (lambda: member(supports=(fork(0), fork(0, name="again"), fork(1))), "another support stands"),
    (
        lambda: member(supports=(fork(0, name="end"), fork(1, name="end"))),
        "two supports or restraints are named 'end'",
    ),
    (lambda: solve(member(loads=())), "carries no load"),
    (
        lambda: solve(
            member(
                segments=(Segment(0, 1, unit_section(2.0, warping_constant=0.0)),),
                loads=(PointLoad(0.5, bimoment=1.0),),
            )
        ),
        "a bimoment is applied where the section does not warp",
    ),
    (lambda: solve(member()).at(1.5), "station 1.5 lies outside"),
    (lambda: solve(member()).column("uls"), "combination 'uls' was not solved"),
    (lambda: unit_section(2.0, area=0.0), "area must be positive"),
    (lambda: unit_section(2.0, torsion_constant=-1.0), "torsion_constant must be positive"),
    (lambda: unit_section(2.0, warping_constant=-1.0), "warping_constant must be zero or positive"),
    (lambda: unit_section(2.0, product_moment=1.0), "product_moment 1 is too large"),
    (lambda: unit_section(2.0, centroid=(math.nan, 0)), "centroid must be two numbers"),
]


@pytest.mark.parametrize(("call", "words"), CASES)
def test_one_clear_line(call: Callable[[], object], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        call()
    assert "\n" not in str(caught.value)


def test_errors_are_of_the_one_tree() -> None:
    with pytest.raises(SoapfilmError):
        SectionConstants(1, 1, 1, 1, 1, 0)


def test_stations_one_rounding_beyond_the_end_are_the_end() -> None:
    solution = solve(member())
    assert solution.at(1.0 + 1e-12).phi == pytest.approx(0, abs=1e-15)


def test_a_support_at_a_sum_of_lengths_meets_its_node() -> None:
    pieces = Axis((Straight(0.1), Straight(0.2), Straight(0.7)))
    supports = (fork(0), fork(0.1 + 0.2), fork(1.0))
    made = Member(pieces, (Segment(0, 0.3, S), Segment(0.3, 1, S)), supports, loads=(TORQUE,))
    assert solve(made).at(0.3).phi[0, 0] == pytest.approx(0, abs=1e-15)


@pytest.mark.parametrize(("radius", "folds"), [(99.0, True), (101.0, False), (-5.0, False)])
def test_only_a_curve_whose_centre_lies_in_the_section_folds_it(radius: float, folds: bool) -> None:
    """A bar 100 wide on an axis along its left side: it reaches 100 toward +x and nothing to -x."""
    steel = Material("steel", 210e3, 0.3)
    outline = rectangle(x_dim=100, y_dim=50).section(material=steel, name="bar")
    segments = (Segment(0, 10.0, solved_section(outline, "bar", 1e-2).constants),)

    def made() -> Member:
        return Member(Axis.arc(10.0, radius), segments, (fork(0), fork(10)), line=(-50.0, 0.0))

    if folds:
        with pytest.raises(InputError, match="radius 99 is not larger than the 100 from the axis"):
            made()
    else:
        assert made().length == 10.0


@pytest.mark.parametrize(
    ("gap", "angles", "folds"),
    [
        (17.0, (10.0, 10.0), True),
        (18.0, (10.0, 10.0), False),
        (1.0, (10.0, -10.0), False),
        (1.0, (-10.0, -10.0), False),
    ],
)
def test_kinks_leave_material_between_them(
    gap: float, angles: tuple[float, float], folds: bool
) -> None:
    """A bar that reaches 100 toward +x loses 100 tan 5 = 8.75 by each kink that way."""
    steel = Material("steel", 210e3, 0.3)
    outline = rectangle(x_dim=100, y_dim=50).section(material=steel, name="bar")
    segments = (Segment(0, 1000.0, solved_section(outline, "bar", 1e-2).constants),)
    kinks = tuple(Kink(500.0 + k * gap, math.radians(angle)) for k, angle in enumerate(angles))

    def made() -> Member:
        axis = Axis((Straight(1000.0),), kinks=kinks)
        return Member(axis, segments, (fork(0), fork(1000)), line=(-50.0, 0.0))

    if folds:
        with pytest.raises(InputError, match=r"kink at 517: it lies 17 from kink at 500, .* 17\.4"):
            made()
    else:
        assert made().length == 1000.0


def test_a_kink_at_an_end_and_a_curve_beside_it_leave_material() -> None:
    """Beside the end, which is square, a kink of 60 degrees takes 50 tan 30 = 28.9; an arc of 0.5
    between them 25 more."""
    steel = Material("steel", 210e3, 0.3)
    outline = rectangle(x_dim=100, y_dim=50).section(material=steel, name="bar")
    constants = solved_section(outline, "bar", 1e-2).constants

    def made(at: float, *pieces: Arc | Straight) -> Member:
        axis = Axis(pieces, kinks=(Kink(at, math.radians(60.0)),))
        return Member(axis, (Segment(0, axis.length, constants),), (fork(0), fork(axis.length)))

    assert made(29.0, Straight(1000.0)).length == 1000.0
    with pytest.raises(InputError, match=r"kink at 28: it lies 28 from the start"):
        made(28.0, Straight(1000.0))
    assert made(961.0, Straight(1000.0)).length == 1000.0
    with pytest.raises(InputError, match=r"the end: it lies 39 from kink at 961"):
        made(961.0, Straight(970.0), Arc(30.0, 60.0))
