"""Slits: material parted with no gap, against narrow real cuts, exact values and open sections."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import circle_hollow, rectangle, rectangle_hollow
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import SectionResult, solve_section


def slit_section(outline: Contour, *slits: Slit, holes: tuple[Contour, ...] = ()) -> Section:
    return Section((Region(outline, holes),), slits=slits)


def interval(result: SectionResult) -> tuple[float, float]:
    return result.torsion_constant_lower, result.torsion_constant_upper


def test_round_bar_slit_to_its_centre(checks: dict) -> None:
    """The circular sector of 360 degrees; its series is in `test_exact_bounds`."""
    bar = slit_section(Contour.circle((0, 0), 1.0), Slit(((0.0, 0.0), (1.0, 0.0))))
    lower, upper = interval(solve_section(bar))
    assert lower <= checks["sector_360"]["value"] <= upper


@pytest.mark.parametrize("tips", [((-0.4, 0.0), (0.4, 0.0)), ((-0.37, -0.1), (0.4, 0.21))])
def test_slit_with_both_ends_in_the_material(tips: tuple) -> None:
    """A slit that reaches no border lowers J, is no cell, and is the limit of narrow holes."""
    square = rectangle(x_dim=2, y_dim=2).outline
    whole = solve_section(Section.single(square))
    parted = solve_section(slit_section(square, Slit(tips)))
    assert parted.torsion_constant_upper < 0.999 * whole.torsion_constant_lower
    assert parted.cells == ()
    assert [c.kind for c in parted.corners] == ["tip of a slit"] * 2
    p, q = np.array(tips)
    normal = np.array([p[1] - q[1], q[0] - p[0]]) / np.hypot(*(q - p))
    missing = []
    for width in (1e-2, 1e-4):
        shift = normal * width / 2
        hole = Contour([p - shift, q - shift, q + shift, p + shift])
        cut = solve_section(Section.single(square, [hole]))
        assert cut.torsion_constant_lower < parted.torsion_constant_upper  # material taken away
        missing.append(1 - cut.torsion_constant / parted.torsion_constant)
    # the hole adds to the slit only what its own width takes: linear in the width
    assert missing[1] < 0.05 * missing[0] + 2e-5


def test_curved_slit_inside_the_material() -> None:
    """A half-circle slit turned about the centre of a round bar: J does not see the angle."""
    constants = []
    for angle in (0.0, 0.7):
        slit = Slit(((-0.5, 0.0), (0.5, 0.0)), (1.0,)).placed(Placement.rotate(angle))
        constants.append(interval(solve_section(slit_section(Contour.circle((0, 0), 1.0), slit))))
    assert max(c[0] for c in constants) <= min(c[1] for c in constants)


def test_concentric_slits_of_a_round_bar_change_nothing() -> None:
    """The slit follows a shear-flow line, across which nothing is carried."""
    slit = Slit(((-0.5, 0.0), (0.5, 0.0)), (1.0,))
    result = solve_section(slit_section(Contour.circle((0, 0), 1.0), slit))
    assert result.torsion_constant == pytest.approx(np.pi / 2, rel=1e-5)


@pytest.mark.parametrize(
    ("profile", "through", "open_value"),
    [  # sum of b t^3 / 3 along the middle of the wall
        (
            circle_hollow(radius=51, wall_thickness=2),
            ((48.0, 0.0), (52.0, 0.0)),
            2 * np.pi * 50 * 8 / 3,
        ),
        (
            rectangle_hollow(x_dim=102, y_dim=62, wall_thickness=2),
            ((47, 5.0), (53, 5.0)),
            320 * 8 / 3,
        ),
    ],
    ids=["round", "rectangular"],
)
def test_slit_through_the_wall_of_a_cell_leaves_the_open_value(
    profile, through, open_value
) -> None:
    tube = solve_section(profile.section())
    x = [profile.outline.bounds()[2] - 2, profile.outline.bounds()[2]]
    y = through[0][1]
    slit = Slit(((x[0], y), (x[1], y)))
    parted = solve_section(slit_section(profile.outline, slit, holes=profile.holes))
    assert parted.torsion_constant < 0.01 * tube.torsion_constant
    assert parted.torsion_constant == pytest.approx(open_value, rel=0.02)
    assert len(tube.cells) == 1
    assert parted.cells == ()


def test_narrow_cuts_of_a_tube_tend_to_the_slit() -> None:
    """A saw cut of width w through the wall: below the slit tube, and nearer the smaller w."""
    outer, inner = rectangle(x_dim=100, y_dim=60).outline, rectangle(x_dim=92, y_dim=52).outline
    slit = solve_section(slit_section(outer, Slit(((46, 0), (50, 0))), holes=(inner,)))
    missing = []
    for w in (4.0, 0.4, 0.04):
        outside = [(50, w / 2), (50, 30), (-50, 30), (-50, -30), (50, -30), (50, -w / 2)]
        inside = [(46, -w / 2), (46, -26), (-46, -26), (-46, 26), (46, 26), (46, w / 2)]
        c_shape = Contour([*outside, *inside])
        cut = solve_section(Section.single(c_shape))
        assert cut.torsion_constant_lower < slit.torsion_constant_upper
        missing.append(1 - cut.torsion_constant / slit.torsion_constant)
    # material missing: w t^3 / 3 of sum b t^3 / 3, to first order
    midline = 2 * (96 + 56)
    np.testing.assert_allclose(missing[:2], [4 / midline, 0.4 / midline], rtol=0.35)
    assert missing[2] < 3e-4


def test_slit_along_an_interface_is_a_slit_in_one_region() -> None:
    """Two halves joined over the middle third only, drawn as two regions or as one."""
    low = Region(Contour([(-3, -1), (3, -1), (3, 0), (-3, 0)]))
    high = Region(Contour([(-3, 0), (3, 0), (3, 1), (-3, 1)]))
    slits = (Slit(((-3, 0), (-1, 0))), Slit(((1, 0), (3, 0))))
    bonded = solve_section(Section((low, high), slits=slits))
    single = solve_section(slit_section(rectangle(x_dim=6, y_dim=2).outline, *slits))
    assert bonded.torsion_constant_lower <= single.torsion_constant_upper
    assert single.torsion_constant_lower <= bonded.torsion_constant_upper
    whole = solve_section(rectangle(x_dim=6, y_dim=2).section())
    assert single.torsion_constant < 0.6 * whole.torsion_constant


def test_crossed_slits_part_all_four_sides() -> None:
    """A cross of slits drawn as two lines, or as four that meet in the middle."""
    square = rectangle(x_dim=2, y_dim=2).outline
    half = 0.5
    two = (Slit(((-half, 0), (half, 0))), Slit(((0, -half), (0, half))))
    four = tuple(Slit(((0.0, 0.0), p)) for p in ((half, 0), (-half, 0), (0, half), (0, -half)))
    one_way, other_way = (solve_section(slit_section(square, *s)) for s in (two, four))
    assert one_way.torsion_constant_lower <= other_way.torsion_constant_upper
    assert other_way.torsion_constant_lower <= one_way.torsion_constant_upper
    alone = solve_section(slit_section(square, two[0]))
    assert one_way.torsion_constant_upper < alone.torsion_constant_lower


def test_slit_across_a_web_makes_one_cell_of_two() -> None:
    """From hole to hole: the web parts, its cells share one shear flow, and J is that of the box
    with two free plates in it."""
    t, y = 2.0, 29.0
    holes = tuple(
        Contour([(x0, -y), (x1, -y), (x1, y), (x0, y)])
        for x0, x1 in ((-59.0, -21.0), (-19.0, 59.0))
    )
    outline = rectangle(x_dim=122, y_dim=62).outline
    whole = solve_section(Section.single(outline, holes))
    parted = solve_section(slit_section(outline, Slit(((-21, 3), (-19, 3))), holes=holes))
    assert len(whole.cells) == 2
    assert [c.void_area for c in parted.cells] == pytest.approx([116 * 58], rel=1e-12)
    box = solve_section(rectangle_hollow(x_dim=122, y_dim=62, wall_thickness=t).section())
    assert parted.torsion_constant_upper < whole.torsion_constant_lower
    plates = 58 * t**3 / 3
    assert parted.torsion_constant == pytest.approx(box.torsion_constant + plates, rel=3e-3)
