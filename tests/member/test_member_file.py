"""Member files: what each table becomes, and that units and words change nothing."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import MemberRequest, load_member, member_from_toml
from soapfilm.solver.member.model.axis import Arc, Straight
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad, SelfWeight
from soapfilm.solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from soapfilm.solver.member.review.movement_limits import MovementLimit, TwistLimit
from soapfilm.solver.member.review.stress_limit import StressLimit

FIGURES = """
[section.tube]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
C_w = "14.4e9 mm^6"
mass = "58.8 kg/m"
width = 150
shear_centre = [4, -6]
centroid = [1, 2]
"""
FORKS = """
[[support]]
name = "column"
at = ["start", "end"]
kind = "fork"
"""
LOAD = """
[[load]]
weight = "5 kN/m"
place = [300, 0]
"""


def read(*parts: str, unit: str = "mm", span: str = 'length = "6 m"') -> MemberRequest:
    return member_from_toml(f'unit = "{unit}"\n[[span]]\n{span}\n' + "".join(parts))


def of_loads(*tables: str) -> list[PointLoad | LineLoad | SelfWeight]:
    return list(read(FIGURES, FORKS, *tables).member.loads)


# -- spans and positions --------------------------------------------------------------------------
def test_spans_are_straight_curved_or_chains() -> None:
    plan = 'plan = [{ straight = "2 m" }, { arc = "3 m", radius = "-20 m" }]'
    member = read(
        FIGURES, FORKS, LOAD, "[[span]]\nlength = 4000\nradius = 30000\n", span=plan
    ).member
    assert member.axis.pieces == (Straight(2000.0), Arc(3000.0, -20000.0), Arc(4000.0, 30000.0))
    assert member.supports[1].at == 9000.0


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ('"start"', 0.0),
        ('"middle"', 5000.0),
        ('"end"', 10000.0),
        ('"end of span 1"', 6000.0),
        ('"middle of span 2"', 8000.0),
        ('"2.5 m"', 2500.0),
        ("7000", 7000.0),
        ('"1 m"\nspan = 2', 7000.0),
        ('"middle"\nspan = 2', 8000.0),
    ],
)
def test_positions_in_words_and_lengths(words: str, at: float) -> None:
    load = f'[[load]]\nweight = "1 kN"\nplace = "origin"\nat = {words}\n'
    second = "[[span]]\nlength = 4000\n"
    assert read(FIGURES, FORKS, second, load).member.loads[0].at == at  # type: ignore[union-attr]


def test_rows_of_loads_reach_their_end() -> None:
    loads = of_loads(
        '[[load]]\nevery = "1.5 m"\nfrom = "1.5 m"\nweight = "1 kN"\nplace = "centroid"\n'
    )
    assert [load.at for load in loads] == [1500.0, 3000.0, 4500.0, 6000.0]  # type: ignore[union-attr]


def test_a_ring_closes() -> None:
    radius = 9000.0
    span = f"length = {2 * math.pi * radius!r}\nradius = {radius}"
    text = f'unit = "mm"\nclosed = true\n[[span]]\n{span}\n{FIGURES}{LOAD}'
    text += '[[support]]\nat = [0, 14137, 28274, 42411]\ny = "held"\nx = "held"\n'
    member = member_from_toml(text).member
    assert member.axis.closed
    assert solve(member).residual.max() < 1e-10


# -- loads ----------------------------------------------------------------------------------------
def test_weights_act_downward_at_their_place() -> None:
    (load,) = of_loads('[[load]]\nat = 1000\nweight = "2 kN"\nplace = [75, 125]\n')
    assert isinstance(load, PointLoad)
    assert load.force == (0.0, -2000.0, 0.0)
    assert load.place == (75.0, 125.0)


def test_every_component_of_a_point_load() -> None:
    (load,) = of_loads(
        '[[load]]\ncase = "a"\nname = "b"\nat = 1000\nF_x = "1 kN"\nF_y = "2 kN"\nF_z = "3 kN"\n'
        'M_x = "4 kN*m"\nM_y = "5 kN*m"\nT = "6 kN*m"\nB = "7 kN*m^2"\nplace = "centroid"\n'
    )
    assert load == PointLoad(
        1000.0, (1e3, 2e3, 3e3), Place("centroid"), (4e6, 5e6, 6e6), 7e9, "a", "b"
    )


def test_line_loads_may_be_linear() -> None:
    (load,) = of_loads(
        '[[load]]\nfrom = 500\nto = "5 m"\nweight = ["6 kN/m", "2 kN/m"]\nq_x = "1 kN/m"\n'
        'm_t = ["0.3 kN*m/m", "0 kN*m/m"]\nplace = "tip"\nmeasured_along = "own line"\n',
        "[points]\ntip = [10, 20]\n",
    )
    assert isinstance(load, LineLoad)
    assert (load.start, load.end) == (500.0, 5000.0)
    assert load.force == pytest.approx((1.0, -6.0, 0.0))
    assert load.force_end == pytest.approx((1.0, -2.0, 0.0))
    assert (load.torque, load.torque_end) == (300.0, 0.0)
    assert load.place == Place("tip")
    assert load.measured_along == "line"


@pytest.mark.parametrize(
    ("place", "x", "y"),
    [
        ("eccentricity = 50", 54, -6),
        ("eccentricity = [50, 10]", 54, 4),
        ('place = "centroid"\neccentricity = -30', -29, 2),
        ('place = "origin"', 0, 0),
        ('place = [80, 90]\neccentricity = "1 in"', 105.4, 90),
        ('place = "tip"\neccentricity = [1, 2]', 11, 22),
    ],
)
def test_places_and_eccentricities(place: str, x: float, y: float) -> None:
    request = read(
        FIGURES, FORKS, f'[[load]]\nweight = "1 kN/m"\n{place}\n', "[points]\ntip = [10, 20]\n"
    )
    member = request.member
    (load,) = member.loads
    assert isinstance(load, LineLoad)
    assert member.locate(load.place, member.section_at(0.0)) == pytest.approx((x, y))


def test_self_weight_is_mass_times_standard_gravity() -> None:
    request = read(FIGURES, FORKS, '[self_weight]\ncase = "dead"\nfactor = 1.1\nwedge = true\n')
    assert request.member.loads == (SelfWeight(1.1 * 9.80665, True, "dead"),)
    total = sum(r.force[1] for r in solve(request.member).reactions[0])
    assert total == pytest.approx(1.1 * 9.80665 * 58.8 * 6)


def test_patterns_split_a_load_by_span() -> None:
    member = read(
        FIGURES,
        '[[support]]\nat = ["start", "start of span 2", "end"]\nkind = "fork"\n',
        "[[span]]\nlength = 4000\n",
        LOAD.replace("[[load]]", '[[load]]\ncase = "live"\nby_span = true'),
        '[[load]]\ncase = "dead"\nweight = "1 kN/m"\nplace = "centroid"\n',
        '[[combination]]\nname = "u"\nfactors = { dead = 1.35 }\npatterns = { live = 1.5 }\n',
    ).member
    assert member.cases == ("live, span 1", "live, span 2", "dead")
    assert [c.name for c in member.combinations] == [
        "u: live on all spans",
        "u: live on odd spans",
        "u: live on even spans",
    ]
    assert member.combinations[1].factors == {"dead": 1.35, "live, span 1": 1.5}


# -- supports and restraints ----------------------------------------------------------------------
def test_supports_hold_what_they_say() -> None:
    member = read(
        FIGURES,
        LOAD,
        '[[support]]\nname = "a"\nat = 0\nkind = "warping held"\nlever_arm = "0.4 m"\n'
        'clearance = "1 mm"\nclearance_arm = "200 mm"\npoint = "centroid"\n',
        '[[support]]\nname = "b"\nat = "end"\ny = "5 kN/mm"\nx = "held"\ntwist = "900 kN*m/rad"\n'
        'bend_x = "free"\nwarping = "20 kN*m^3"\ntwist_slip = "0.5 deg"\npoint = [3, 4]\n',
    ).member
    a, b = member.supports
    assert (a.x, a.y, a.twist, a.warping, a.bend_x) == ("held", "held", "held", "held", "free")
    assert (a.lever_arm, a.point) == (400.0, Place("centroid"))
    assert member.locate(a.point, member.section_at(0.0)) == (1.0, 2.0)
    assert a.twist_slip == pytest.approx(1 / 200)
    assert b.y == 5000.0
    assert b.twist == pytest.approx(900e6)
    assert b.warping == pytest.approx(20e12)
    assert b.twist_slip == pytest.approx(math.radians(0.5))
    assert b.point == (3.0, 4.0)


def test_bearings_in_pairs_and_one_by_one() -> None:
    member = read(
        FIGURES,
        LOAD,
        '[[support]]\nat = 0\nkind = "bearing pair"\nspacing = 300\ncentre = 10\nlevel = -120\n'
        'stiffness = "200 kN/mm"\nholds_down = true\n',
        '[[support]]\nat = "end"\nbearings = [{ x = -100, holds_down = true }, '
        '{ x = 120, y = -90, stiffness = "3 kN/mm" }]\n',
    ).member
    first, second = member.supports
    assert [(b.x, b.y, b.stiffness, b.holds_down) for b in first.bearings] == [
        (-140.0, -120.0, 200e3, True),
        (160.0, -120.0, 200e3, True),
    ]
    assert [(b.x, b.y, b.stiffness, b.holds_down) for b in second.bearings] == [
        (-100.0, None, None, True),
        (120.0, -90.0, 3e3, False),
    ]
    assert first.x == second.x == "held"


def test_secondaries_springs_and_decks() -> None:
    member = read(
        FIGURES,
        FORKS,
        LOAD,
        '[[secondary_beam]]\nat = ["2 m", "4 m"]\nE = "210 GPa"\nI = "5790 cm^4"\n'
        'length = "4.5 m"\nfar_end = "fixed"\nconnection = "3000 kN*m/rad"\nslip = "0.2 deg"\n',
        '[[spring]]\nname = "tie"\nat = "middle"\ntwist = "9 kN*m/rad"\nx = "2 kN/mm"\n',
        "level = 90\n",
        '[[deck]]\nname = "slab"\nto = "5 m"\ntwist = "60 kN*m/rad/m"\nx = "2 kN/mm/m"\n',
        "level = 8\n",
    ).member
    first, second, turn, across, deck = member.restraints
    beam, connection = 4 * 210e3 * 57.9e6 / 4500, 3e9
    stiffness = beam * connection / (beam + connection)
    assert isinstance(first, TwistSpring)
    assert (first.at, first.slip) == (2000.0, pytest.approx(math.radians(0.2)))
    assert first.stiffness == pytest.approx(stiffness)
    assert second.title == "secondary beam at 4000 mm"
    assert turn == TwistSpring(3000.0, 9e6, 0.0, "tie (twist)")
    assert across == LateralSpring(3000.0, 2e3, 90.0, "tie (lateral)")
    assert deck == Deck(0.0, 5000.0, 60e3, 2.0, 8.0, "slab")


# -- limits, segments, sections ------------------------------------------------------------------
def test_limits_and_whom_they_concern() -> None:
    request = read(
        FIGURES,
        FORKS,
        LOAD,
        '[[combination]]\nname = "service"\nfactors = { load = 1 }\n',
        '[[limit]]\ntwist = "customary"\ncombinations = ["service"]\n',
        '[[limit]]\ndeflection = ["span/600", "0.3 in"]\npoint = [9, 9]\ndirection = "x"\n',
        '[[limit]]\ndeflection = "masonry"\n',
        '[[limit]]\nstress = "160 MPa"\nfactor = 1.5\ncomponent = "tension"\n',
    )
    assert request.limits == (
        TwistLimit(2.0, ("service",)),
        MovementLimit((9.0, 9.0), "x", 600.0, pytest.approx(7.62)),
        MovementLimit("shear_centre", "y", masonry_unit="mm"),
        StressLimit(160.0, 1.5, "tension"),
    )


def test_segments_follow_one_another() -> None:
    other = FIGURES.replace("[section.tube]", "[section.slim]").replace("61.7e6", "40e6")
    request = read(
        FIGURES,
        other,
        other.replace("slim", "spare"),
        FORKS,
        LOAD,
        '[[segment]]\nsection = "tube"\nto = "2 m"\n',
        '[[segment]]\nsection = "tube"\ntaper_to = "slim"\nto = "5 m"\n',
        '[[segment]]\nsection = "slim"\n',
    )
    member = request.member
    assert [(s.start, s.end) for s in member.segments] == [(0, 2e3), (2e3, 5e3), (5e3, 6e3)]
    assert member.section_at(5500).second_moment_x == pytest.approx(40e6)
    assert 40e6 < member.section_at(3500).second_moment_x < 61.7e6
    assert list(request.sections) == ["tube", "slim"]
    assert list(request.alternatives) == ["spare"]


INLINE = """
[material.steel]
grade = "S355"
[section.tube]
unit = "in"
[[section.tube.shape]]
profile = "RectangleHollow"
XDim = 6
YDim = 10
WallThickness = 0.5
OuterFilletRadius = 1
InnerFilletRadius = 0.5
"""


def test_sections_by_file_designation_and_inline_agree(tmp_path: Path) -> None:
    """One tube in inches, written three ways into a member in millimetres."""
    own = INLINE.replace("[section.tube]\n", "").replace("[[section.tube.shape]]", "[[shape]]")
    own = 'unit = "in"\n' + own.replace('unit = "in"\n', "")
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "tube.toml").write_text(own)
    head = 'unit = "mm"\n[[span]]\nlength = "6 m"\n' + FORKS + LOAD
    (tmp_path / "a.toml").write_text(head + '[section.tube]\nfile = "parts/tube.toml"\n')
    by_file = load_member(tmp_path / "a.toml").sections["tube"]
    inline = member_from_toml(head + INLINE).sections["tube"]
    assert inline.constants == by_file.constants
    assert inline.constants.width == pytest.approx(6 * 25.4)
    assert inline.constants.elastic_modulus == pytest.approx(210e3)
    assert inline.strengths == pytest.approx((355.0,))
    rolled = '[section.beam]\nshape = "W10X49"\nmaterial = "S355"\nrotate = 90\nmove = [5, 0]\n'
    beam = member_from_toml(head + rolled).sections["beam"].constants
    assert beam.second_moment_y == pytest.approx(272 * 25.4**4, rel=0.01)  # table: 272 in^4
    assert beam.centroid == pytest.approx((5.0, 0.0), abs=1e-6)
    assert beam.mass_per_length == pytest.approx(49 * 0.45359237 / 304.8, rel=0.01)


def test_inline_parts_keep_the_order_of_the_file() -> None:
    """The cut comes after the outline it cuts from, though TOML keeps no order between lists."""
    text = """
    [[section.box.outline]]
    material = "S235"
    points = [[0, 0], [100, 0], [100, 200], [0, 200]]
    [[section.box.shape]]
    profile = "Rectangle"
    XDim = 80
    YDim = 180
    move = [50, 100]
    combine = "cut"
    [[section.box.outline]]
    material = "S235"
    points = [[45, 5], [55, 5], [55, 195], [45, 195]]
    """
    constants = read(text, FORKS, LOAD).sections["box"].constants
    assert constants.area == pytest.approx(100 * 200 - 80 * 180 + 10 * 180)


def test_matching_outlines_are_solved_between(tmp_path: Path) -> None:
    small = (
        INLINE.split("[section.tube]")[1].replace("tube", "small").replace("YDim = 10", "YDim = 6")
    )
    taper = '[[segment]]\nsection = "tube"\ntaper_to = "small"\ntaper_parts = 3\n'
    request = read(INLINE, "[section.small]", small, FORKS, LOAD, taper)
    names = list(request.sections)
    assert names == ["tube", "small", "tube to small, 1/3", "tube to small, 2/3"]
    assert [request.sections[n].made for n in names] == [False, False, True, True]
    outline = request.sections["tube to small, 1/3"].result.section  # type: ignore[union-attr]
    assert outline.bounds()[3] * 2 == pytest.approx((10 - 4 / 3) * 25.4)
    assert len(request.member.segments) == 3


def test_outlines_that_do_not_match_cannot_taper() -> None:
    """Between them no member can be made; the corner without a partner is named."""
    outlines = "".join(
        f'[section.{name}]\n[[section.{name}.outline]]\nmaterial = "S355"\npoints = {points}\n'
        for name, points in (
            ("bar", "[[0, 0], [100, 0], [100, 200], [0, 200]]"),
            ("notched", "[[0, 0], [100, 0], [100, 200], [60, 200], [60, 150], [0, 150]]"),
        )
    )
    taper = '[[segment]]\nsection = "notched"\ntaper_to = "bar"\n'
    with pytest.raises(InputError, match=r"6 and 4 corners; the one of 'notched' at \(60.0, 1"):
        read(outlines, FORKS, LOAD, taper)


# -- units ----------------------------------------------------------------------------------------
def test_the_unit_of_a_file_changes_nothing() -> None:
    """One member written in mm, m, in and ft moves, twists and pushes alike."""
    common = """
    [self_weight]
    [[load]]
    weight = "5 kN/m"
    place = "tip"
    [[load]]
    at = "2 m"
    T = "1.5 kN*m"
    [points]
    tip = ["300 mm", "50 mm"]
    [[spring]]
    at = "middle"
    twist = "50 kN*m/rad"
    [[deck]]
    twist = "10 kN*m/rad/m"
    [section.tube]
    E = "210 GPa"
    G = "81 GPa"
    A = "7490 mm^2"
    I_x = "61.7e6 mm^4"
    I_y = "27.5e6 mm^4"
    J = "3e6 mm^4"
    C_w = "144e9 mm^6"
    A_vy = "3000 mm^2"
    mass = "58.8 kg/m"
    """
    twists, drops, pushes = [], [], []
    for unit in ("mm", "m", "in", "ft"):
        request = read(common, FORKS, unit=unit)
        solution = solve(request.member)
        table = solution.at(request.member.length * np.linspace(0, 1, 9))
        twists.append(table.phi)
        drops.append(table.v * request.units.factor("length", "mm"))
        force = request.units.factor("force", "kN")
        pushes.append([r.force[1] * force for rows in solution.reactions for r in rows])
    for other in (1, 2, 3):
        np.testing.assert_allclose(twists[other], twists[0], rtol=1e-9, atol=1e-14)
        np.testing.assert_allclose(drops[other], drops[0], rtol=1e-9, atol=1e-11)
        np.testing.assert_allclose(pushes[other], pushes[0], rtol=1e-9, atol=1e-11)


def test_cladding_on_a_bracket_by_hand() -> None:
    """An invented spandrel: torque q e L/2 at each fork, twist t L^2 / (8 G J) amid (derived)."""
    request = read(
        FIGURES.replace("shear_centre = [4, -6]", "").replace('C_w = "14.4e9 mm^6"', ""),
        FORKS,
        '[[load]]\nweight = "12 kN/m"\nplace = "shear centre"\neccentricity = "250 mm"\n',
        span='length = "7.5 m"',
    )
    solution = solve(request.member)
    assert solution.reactions[0][0].torque == pytest.approx(12 * 0.25 * 7.5 / 2 * 1e6)
    twist = 12 * 250 * 7500**2 / (8 * 81e3 * 61.9e6)
    assert solution.at([3750.0]).phi[0, 0] == pytest.approx(-twist)
