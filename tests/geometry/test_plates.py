"""Plates and welds: exact outlines, ends that fit, contacts that part, welds that join."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.plates import Plate, Weld, assemble


def area(plate: Plate) -> float:
    return sum(
        c.area() if k == 0 else -abs(c.area()) for k, c in enumerate(plate.strip().contours())
    )


def only(plate: Plate) -> Contour:
    (outline,) = plate.strip().contours()
    return outline.oriented(True)


FLANGE = Plate("flange", ((-50, 0), (50, 0)), 10)
WEB = Plate("web", ((0, 0), (0, -120)), 8)
#: Clockwise from the upper left, centrelines 100 apart.
BOX = (
    Plate("top", ((-50, 100), (50, 100)), 10),
    Plate("right", ((50, 100), (50, 0)), 8),
    Plate("bottom", ((50, 0), (-50, 0)), 10),
    Plate("left", ((-50, 0), (-50, 100)), 8),
)


# -- outlines --------------------------------------------------------------------------------------
def test_straight_plate_is_a_rectangle() -> None:
    assert only(Plate("p", ((0, 0), (3, 4)), 2)).area() == pytest.approx(10.0, rel=1e-14)


@pytest.mark.parametrize(
    ("line", "box"),
    [
        ("centre", (0, -1, 10, 1)),
        ("left", (0, -2, 10, 0)),
        ("right", (0, 0, 10, 2)),
    ],
)
def test_points_describe_the_centre_or_a_face(line: str, box: tuple[float, ...]) -> None:
    assert only(Plate("p", ((0, 0), (10, 0)), 2, line=line)).bounds() == pytest.approx(box)


def test_tapered_plate_has_its_end_thicknesses() -> None:
    outline = only(Plate("p", ((0, 0), (100, 0)), 12, end_thickness=6))
    assert outline.area() == pytest.approx(900.0, rel=1e-14)
    assert sorted(map(tuple, outline.points)) == [(0, -6), (0, 6), (100, -3), (100, 3)]


def test_taper_runs_on_around_a_mitred_corner() -> None:
    # Thickness 8 at the corner; each leg a trapezium in its own length, plus and minus the mitre
    # triangles, which do not cancel exactly once the faces slope: compare with the polygon of
    # intersected faces.
    outline = only(Plate("p", ((0, 0), (100, 0), (100, 100)), 10, end_thickness=6))
    # Faces: y = -5 + x/100 and y = 5 - x/100; x = 104 - (y)/100 and x = 96 + y/100.
    outer = np.linalg.solve([[-0.01, 1], [1, 0.01]], [-5, 104])
    inner = np.linalg.solve([[0.01, 1], [1, -0.01]], [5, 96])
    expected = Contour([(0, -5), outer, (103, 100), (97, 100), inner, (0, 5)])
    assert outline.area() == pytest.approx(expected.area(), rel=1e-13)


def test_mitred_corner_keeps_the_centreline_area() -> None:
    # A sharp corner of constant thickness: area = thickness times centreline length, for any turn.
    plate = Plate("p", ((0, 0), (100, 0), (130, 80), (60, 140)), 7)
    expected = 7 * sum(np.hypot(*np.diff(plate.points, axis=0).T))
    assert only(plate).area() == pytest.approx(expected, rel=1e-13)


def test_bend_has_its_inner_radius_and_keeps_the_developed_area() -> None:
    plate = Plate("p", ((0, 0), (100, 0), (100, 60)), 4, bend_radius=6)
    outline = only(plate)
    developed = (100 - 8) + (60 - 8) + 8 * np.pi / 2
    assert outline.area() == pytest.approx(4 * developed, rel=1e-13)
    # The inner arc of 6 and the outer of 10 touch the faces 6 inside the inner corner (98, 2).
    radii = {round(float(r), 9) for r in arc_radii(outline)}
    assert radii == {6.0, 10.0}


def arc_radii(outline: Contour) -> np.ndarray:
    arc = outline.bulges != 0
    chord = np.hypot(*(outline.ends - outline.points)[arc].T)
    b = np.abs(outline.bulges[arc])
    return chord * (1 + b**2) / (4 * b)


@pytest.mark.parametrize("line", ["centre", "left", "right"])
def test_bend_radius_is_the_inner_face_whichever_line_is_given(line: str) -> None:
    for points in (((0, 0), (90, 0), (90, 60)), ((0, 0), (90, 0), (90, -60))):
        assert sorted(arc_radii(only(Plate("p", points, 3, bend_radius=5, line=line)))) == (
            pytest.approx([5, 8], rel=1e-12)
        )


def test_bend_of_zero_radius_is_sharp_inside_and_round_outside() -> None:
    outline = only(Plate("p", ((0, 0), (50, 0), (50, 50)), 4, bend_radius=0))
    assert arc_radii(outline) == pytest.approx([4.0])
    assert outline.area() == pytest.approx(4 * (48 + 48 + 2 * np.pi / 2), rel=1e-13)


def test_two_bends_may_use_up_the_segment_between_them() -> None:
    outline = only(Plate("p", ((0, 0), (30, 0), (30, 10), (0, 10)), 4, bend_radius=3))
    assert outline.area() == pytest.approx(4 * (2 * 25 + np.pi * 5), rel=1e-12)


def test_closed_arc_is_a_tube() -> None:
    tube = Plate("tube", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    assert area(tube) == pytest.approx(np.pi * 100 * 6, rel=1e-13)


def test_a_ring_of_two_arcs_meets_in_mitred_corners() -> None:
    """Its faces are the lenses that two discs of R + t/2 and of R - t/2 have in common."""
    radius, offset, t = 100.0, 60.0, 8.0  # the discs' centres are 2 offset apart
    tip = np.sqrt(radius**2 - offset**2)
    bulge = np.tan(np.arccos(offset / radius) / 2)
    ring = Plate("lens", ((0, -tip), (0, tip)), t, bulges=(bulge, bulge), closed=True)

    def lens(r: float) -> float:
        return 2 * r**2 * np.arccos(offset / r) - 2 * offset * np.sqrt(r**2 - offset**2)

    (region,) = assemble([ring], unit="mm").regions
    assert region.outline.area() == pytest.approx(lens(radius + t / 2), rel=1e-12)
    assert abs(region.holes[0].area()) == pytest.approx(lens(radius - t / 2), rel=1e-12)


def test_closed_cold_formed_tube_has_four_bends_on_each_face() -> None:
    tube = Plate(
        "tube", ((0, 0), (100, 0), (100, 60), (0, 60)), 4, closed=True, bend_radius=4, line="right"
    )
    outer, hole = tube.strip().contours()
    assert np.count_nonzero(outer.bulges) == np.count_nonzero(hole.bulges) == 4
    # Points run anticlockwise along the right face, which is the outside.
    assert outer.bounds() == pytest.approx((0, 0, 100, 60))
    q = 1 - np.pi / 4
    expected = (100 * 60 - 4 * q * 8**2) - (92 * 52 - 4 * q * 4**2)
    assert area(tube) == pytest.approx(expected, rel=1e-13)


def test_corner_between_an_arc_and_a_line_is_mitred_exactly() -> None:
    # A half circle of radius 50 met by a horizontal line from its end: the faces are circles of 48
    # and 52.
    plate = Plate("p", ((-50, 0), (50, 0), (120, 0)), 4, bulges=(-1.0, 0.0))
    outline = only(plate)
    on_circle = [p for p in outline.points if 47 < np.hypot(*p) < 53 and p[0] > 0]
    assert sorted(np.hypot(*p) for p in on_circle) == pytest.approx([48.0, 52.0])
    assert sorted(p[1] for p in on_circle) == pytest.approx([-2.0, 2.0])


# -- ends that meet --------------------------------------------------------------------------------
def test_web_ends_on_the_flange_face() -> None:
    tee = assemble([FLANGE, WEB])
    assert tee.regions[1].outline.bounds() == pytest.approx((-4, -120, 4, -5))
    assert tee.slits[0].points == ((-4, -5), (4, -5))


def test_order_does_not_matter_where_an_end_meets_a_face() -> None:
    areas = [
        {r.name: r.area() for r in assemble(plates).regions}
        for plates in ([FLANGE, WEB], [WEB, FLANGE])
    ]
    assert areas[0] == pytest.approx(areas[1])


def test_oblique_web_is_cut_along_the_face() -> None:
    web = Plate("web", ((0, 0), (-60, -120)), 8)
    outline = assemble([FLANGE, web]).regions[1].outline
    on_face = outline.points[np.isclose(outline.points[:, 1], -5)]
    assert np.ptp(on_face[:, 0]) == pytest.approx(8 * np.hypot(60, 120) / 120)


def test_fin_ends_on_a_round_tube_along_its_arc() -> None:
    tube = Plate("tube", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    section = assemble([tube, Plate("fin", ((0, 50), (0, 90)), 8)])
    (slit,) = section.slits
    assert np.hypot(*np.array(slit.points).T) == pytest.approx(53.0, rel=1e-12)
    # Circular segment that the tube takes from the fin's rectangle.
    half = np.arcsin(4 / 53)
    expected = 8 * 90 - 8 * 53 * np.cos(half) - 53**2 * (half - np.sin(half) * np.cos(half))
    assert section.regions[1].area() == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("angle", [0.0, np.pi, np.pi - 0.02, -1.0])
def test_fin_may_stand_where_the_tube_starts(angle: float) -> None:
    """The tube's line starts at pi; the cut must take the short way around there."""
    tube = Plate("tube", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    x, y = np.cos(angle), np.sin(angle)
    section = assemble([tube, Plate("fin", ((50 * x, 50 * y), (90 * x, 90 * y)), 8)])
    assert section.regions[1].area() == pytest.approx(296.4028603, rel=1e-9)
    assert len(section.slits) == 1


def test_curved_plate_goes_on_along_its_tangent_to_the_face() -> None:
    # The first ends inside the wall and is cut back; the second ends on its face at a slant, so
    # that one of its faces has to go on.
    wall = Plate("wall", ((0, -100), (0, 100)), 50)
    arc = Plate("arc", ((-120, -100), (-20, 0)), 10, bulges=(-np.tan(np.pi / 8),))
    outline = assemble([wall, arc]).regions[1].outline
    assert outline.bounds()[2] == pytest.approx(-25)
    beside = Plate("beside", ((-60, 60), (-25, 0)), 10, bulges=(np.tan(np.pi / 16),))
    assert assemble([wall, beside]).regions[1].outline.bounds()[2] == pytest.approx(-25)


def test_lapped_corner_lets_the_earlier_plate_run_through() -> None:
    section = assemble(BOX)
    areas = {r.name: r.area() for r in section.regions}
    assert areas == pytest.approx({"top": 1080, "right": 800, "bottom": 1000, "left": 720})
    assert len(section.slits) == 4


def test_mitred_corners_split_the_box_evenly() -> None:
    section = assemble([replace(p, corner="mitre") for p in BOX])
    assert [r.area() for r in section.regions] == pytest.approx([1000, 800, 1000, 800])
    lengths = [np.hypot(*np.diff(s.points, axis=0)[0]) for s in section.slits]
    assert lengths == pytest.approx([np.hypot(8, 10)] * 4)


def test_butt_splice_touches_squarely() -> None:
    section = assemble([Plate("a", ((0, 0), (50, 0)), 10), Plate("b", ((50, 0), (90, 0)), 6)])
    assert section.slits[0].points in (((50, -3), (50, 3)), ((50, 3), (50, -3)))


@settings(max_examples=60, deadline=None)
@given(
    angle=st.floats(0, 2 * np.pi),
    opening=st.floats(0.35, np.pi - 0.35),
    mirror=st.booleans(),
    corner=st.sampled_from(["lap", "mitre"]),
    thickness=st.floats(2, 12),
)
def test_any_corner_is_filled_without_gap_or_overlap(
    angle: float, opening: float, mirror: bool, corner: str, thickness: float
) -> None:
    """The outer and the inner corner lie symmetric to the point where the centrelines meet, so the
    line through them halves both plates' end cuts: the total is thickness times centreline length,
    lapped or not."""
    d = np.array(
        [[np.cos(a), np.sin(a)] for a in (angle, angle + (-opening if mirror else opening))]
    )
    a, b = (tuple(map(tuple, (np.zeros(2), 200 * v))) for v in d)
    section = assemble([Plate("a", a, 10), Plate("b", b, thickness, corner=corner)])
    (slit,) = section.slits
    assert len(slit.points) == 2
    total = sum(r.area() for r in section.regions)
    assert total == pytest.approx(200 * (10 + thickness), rel=1e-12)


# -- contacts and welds ----------------------------------------------------------------------------
def test_touching_plates_are_parted_over_the_whole_contact() -> None:
    lower = Plate("lower", ((-60, 0), (60, 0)), 10)
    upper = Plate("upper", ((-40, 9), (40, 9)), 8)
    (slit,) = assemble([lower, upper]).slits
    assert sorted(slit.points) == [(-40, 5), (40, 5)]


def test_full_penetration_leaves_no_slit_and_names_the_throat() -> None:
    section = assemble([FLANGE, WEB], [Weld("root", ("flange", "web"), kind="full")])
    assert section.slits == ()
    (joint,) = section.joints
    assert (joint.name, joint.kind, joint.between) == ("root", "full", ("flange", "web"))
    # The flange lies on the line's left: it runs from the web's left face to its right one.
    assert joint.points == ((-4, -5), (4, -5))


def test_joint_lines_turn_with_the_order_of_the_names() -> None:
    section = assemble([FLANGE, WEB], [Weld("root", ("web", "flange"), kind="full")])
    assert section.joints[0].points == ((4, -5), (-4, -5))


def test_fillets_on_both_sides_are_triangles_beside_the_slit() -> None:
    section = assemble([FLANGE, WEB], [Weld("root", ("flange", "web"), leg=6)])
    fillets = section.regions[2:]
    assert [f.name for f in fillets] == ["root 1", "root 2"]
    assert [f.area() for f in fillets] == pytest.approx([18, 18])
    assert len(section.slits) == 1  # the root gap stays
    for joint in section.joints:
        assert np.hypot(*np.diff(joint.points, axis=0)[0]) == pytest.approx(6 / np.sqrt(2))


def test_unequal_legs_follow_the_order_of_the_names() -> None:
    weld = Weld("root", ("web", "flange"), leg=(7, 5), near=(10, -5))
    (fillet,) = assemble([FLANGE, WEB], [weld]).regions[2:]
    x0, y0, x1, y1 = fillet.outline.bounds()
    assert (x1 - x0, y1 - y0) == pytest.approx((5, 7))
    assert x0 == pytest.approx(4)


def test_fillet_leg_follows_a_curved_face() -> None:
    tube = Plate("tube", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    fin = Plate("fin", ((0, 50), (0, 90)), 8)
    fillet = assemble([tube, fin], [Weld("w", ("fin", "tube"), leg=5, near=(10, 53))]).regions[-1]
    arcs = fillet.outline.bulges != 0
    assert arc_radii(fillet.outline) == pytest.approx([53.0])
    assert np.abs(4 * np.arctan(fillet.outline.bulges[arcs])) * 53 == pytest.approx([5.0])


def test_fillet_leg_runs_on_into_a_smooth_bend() -> None:
    # The channel's lip: its flat is 3 long beside the stiffener, the leg of 5 goes on around the
    # bend.
    channel = Plate("channel", ((0, 0), (60, 0), (60, 40)), 4, bend_radius=6, line="right")
    stiffener = Plate("stiffener", ((46, 4), (46, 30)), 4)
    weld = Weld("w", ("channel", "stiffener"), leg=5, near=(48, 4))
    section = assemble([channel, stiffener], [weld])
    assert np.count_nonzero(section.regions[-1].outline.bulges) == 1


def test_partial_penetration_joins_its_depth_from_each_side() -> None:
    weld = Weld("root", ("flange", "web"), kind="partial", depth=3)
    section = assemble([FLANGE, WEB], [weld])
    (slit,) = section.slits
    assert np.sort(slit.points, axis=0) == pytest.approx(np.array([(-1, -5), (1, -5)]))
    assert [j.name for j in section.joints] == ["root 1", "root 2"]


def test_partial_penetration_and_fillet_on_one_side() -> None:
    welds = [
        Weld("groove", ("flange", "web"), kind="partial", depth=3, near=(4, -5)),
        Weld("cover", ("flange", "web"), leg=4, near=(4, -5)),
    ]
    section = assemble([FLANGE, WEB], welds)
    assert np.sort(section.slits[0].points, axis=0) == pytest.approx(np.array([(-4, -5), (1, -5)]))
    assert [r.name for r in section.regions] == ["flange", "web", "cover"]


def test_open_seam_of_a_ring_is_parted_until_welded() -> None:
    tube = Plate("tube", ((50, 0), (-50, 0), (50, 0)), 6, bulges=(1, 1))
    section = assemble([tube])
    assert section.regions[0].area() == pytest.approx(np.pi * 600)
    assert np.sort(section.slits[0].points, axis=0) == pytest.approx(np.array([(47, 0), (53, 0)]))
    welded = assemble(
        [tube], [Weld("seam", ("tube", "tube"), kind="partial", depth=4, near=(53, 0))]
    )
    assert np.sort(welded.slits[0].points, axis=0) == pytest.approx(np.array([(47, 0), (49, 0)]))


def test_tube_in_tube_is_parted_all_around() -> None:
    outer = Plate("outer", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    inner = Plate("inner", ((-45, 0), (45, 0)), 4, bulges=(1, 1), closed=True)
    (slit,) = assemble([outer, inner]).slits
    assert slit.points[0] == pytest.approx(slit.points[-1])
    assert np.sum(np.arctan(slit.bulges)) * 4 == pytest.approx(
        -2 * np.pi
    )  # the outer tube on its left


def test_intermittent_weld_keeps_its_pitch_and_says_what_is_assumed() -> None:
    weld = Weld("stitch", ("flange", "web"), leg=5, weld_length=50, pitch=150)
    section = assemble([FLANGE, WEB], [weld])
    joint = section.joints[0]
    assert joint.intermittent
    assert joint.force_per_weld(20.0) == 3000.0
    assert any("'stitch' is intermittent" in note for note in section.notes)


def test_joints_move_with_the_section() -> None:
    section = assemble([FLANGE, WEB], [Weld("root", ("flange", "web"), kind="full")])
    moved = section.placed(Placement.move(10, 20)).joints[0]
    assert moved.points == ((6, 15), (14, 15))
    mirrored = section.placed(Placement.mirror()).joints[0]
    assert mirrored.points == ((-4, -5), (4, -5))  # run backwards: the flange stays on its left


def test_welded_i_has_the_moments_of_its_rectangles() -> None:
    plates = [
        Plate("top", ((-75, 145), (75, 145)), 10),
        Plate("bottom", ((75, -145), (-75, -145)), 10),
        Plate("web", ((0, 145), (0, -145)), 8),
    ]
    section = assemble(
        plates, [Weld("t", ("top", "web"), kind="full"), Weld("b", ("bottom", "web"), kind="full")]
    )
    m = contour_moments(section.contours(), (0.0, 0.0))
    assert m[0, 0] == pytest.approx(2 * 1500 + 280 * 8)
    assert m[0, 2] == pytest.approx(2 * (150 * 10**3 / 12 + 1500 * 145**2) + 8 * 280**3 / 12)


# -- errors ---------------------------------------------------------------------------------------
BACK = ((0, 0), (9, 0), (0, 0))
SHARP = ((0, 0), (9, 0), (0, 0.5))
LINE = ((0, 0), (9, 0))


@pytest.mark.parametrize(
    ("points", "thickness", "extra", "words"),
    [
        (LINE, 0, {}, "thickness must be positive, .* got 0"),
        (LINE, 1, {"name": ""}, "needs a name"),
        (LINE, 1, {"line": "middle"}, "line is one of"),
        (LINE, 1, {"corner": "bevel"}, "corner is one of"),
        (LINE, 1, {"bend_radius": -1}, "bend radius"),
        (((0, 0), (0, 0)), 1, {}, r"points 1 and 2 of the line are the same, \(0, 0\)"),
        (((0, 0), (np.nan, 0)), 1, {}, "finite"),
        (((0, 0),), 1, {}, "two points"),
        (LINE, 1, {"bulges": (0, 0)}, "2 points need 1 bulges"),
        (SHARP, 1, {}, "too sharp to mitre"),
        (((0, 0), (9, 0), (9, 2)), 1, {"bend_radius": 2}, "bends at the ends"),
        (BACK, 1, {"bend_radius": 2}, "straight back"),
        (((0, 0), (3, 0)), 4, {"bulges": (1,)}, "radius 1.5"),
        (LINE, 4, {"bulges": (0.2,), "end_thickness": 2}, "tapered"),
        (((0, 0), (50, 0), (50, 3), (0, 3)), 8, {}, "shorter than the corners"),
        (BACK, 4, {"closed": True}, "does not repeat"),
    ],
)
def test_impossible_plates(points, thickness, extra, words) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(GeometryError, match=words):
        Plate(**{"name": "p", "points": points, "thickness": thickness} | extra).strip()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({}, "needs leg"),
        ({"leg": 3, "depth": 2}, "has no depth"),
        ({"leg": -3}, "leg must be positive"),
        ({"leg": 3, "name": ""}, "needs a name"),
        ({"kind": "glue"}, "kind is one of"),
        ({"leg": 3, "pitch": 100}, "both its length and its pitch"),
        ({"leg": 3, "weld_length": 150, "pitch": 100}, "exceeds its pitch"),
    ],
)
def test_impossible_welds(data, words) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(GeometryError, match=words):
        Weld(**{"name": "w", "between": ("a", "b")} | data)


THIRD = Plate("third", ((-50, 0), (-50, 60)), 8)
FOURTH = Plate("fourth", ((-50, 0), (-90, -60)), 8)
GAP = Plate("web", ((0, -6), (0, -50)), 8)
BESIDE = Plate("beside", ((7, -7), (7, -50)), 4)


@pytest.mark.parametrize(
    ("plates", "weld", "words"),
    [
        ([], None, "no plate"),
        ([FLANGE, FLANGE], None, "two parts are called 'flange'"),
        ([FLANGE, replace(FLANGE, name="copy")], None, "lie on each other"),
        ([FLANGE, Plate("big", ((-90, 0), (90, 0)), 40)], None, "overlap near"),
        ([FLANGE, Plate("cross", ((0, -40), (0, 40)), 8)], None, "'flange' and 'cross' overlap"),
        ([FLANGE, WEB, THIRD, FOURTH], None, "'flange', 'third', 'fourth' all end at"),
        ([FLANGE, WEB], {"between": ("flange", "wbe")}, "'wbe', which is no plate"),
        ([FLANGE, GAP], {}, r"share no line of contact; they are nearest at \(.*\), 1 apart"),
        ([FLANGE, WEB], {"leg": 60}, "has only 46 of face"),
        ([FLANGE, WEB], {"leg": None, "kind": "partial", "depth": 4}, "the whole contact of 8"),
        ([FLANGE, WEB], {"between": ("web", "web"), "leg": None, "kind": "full"}, "no open seam"),
        (BOX, {"between": ("top", "left")}, "leave no corner for a fillet"),
        ([FLANGE, WEB, BESIDE], {}, "'beside' and 'w 2' overlap"),
    ],
)
def test_impossible_assemblies(plates, weld, words) -> None:  # type: ignore[no-untyped-def]
    data = {"name": "w", "between": ("flange", "web"), "leg": 5}
    welds = [] if weld is None else [Weld(**data | weld)]
    with pytest.raises(GeometryError, match=words):
        assemble(plates, welds)


def test_contacts_make_valid_sections() -> None:
    tube = Plate("tube", ((-50, 0), (50, 0)), 6, bulges=(1, 1), closed=True)
    fin = Plate("fin", ((0, 50), (0, 90)), 8)
    check(assemble([FLANGE, WEB], [Weld("root", ("flange", "web"), leg=5)]))
    check(assemble([tube, fin], [Weld("root", ("tube", "fin"), leg=5)]))
    check(
        assemble(
            BOX, [Weld(f"w{k}", (BOX[k].name, BOX[k + 1].name), kind="full") for k in range(3)]
        )
    )


def test_unwelded_plates_are_no_single_body() -> None:
    with pytest.raises(
        GeometryError, match=r"contact of 'flange' and 'web'.* cuts the section apart"
    ):
        check(assemble([FLANGE, WEB]))
