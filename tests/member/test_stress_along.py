"""Stress along members against beam formulas, and the sections tried in place of a member's own."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.tapering import intermediate, matches
from soapfilm.geometry.section import Section
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.stations import segment_stations, whole
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.review.alternative import closed_by_plates, tube_of_equal_weight
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.stress import member_stress
from soapfilm.solver.member.review.stress_limit import StressLimit, stress_utilisation
from soapfilm.solver.section import solve_section

STEEL = Material("steel", 210e3, 0.3, None, 7.85e-6, 355.0)
HEAD = """
unit = "mm"
[material.steel]
grade = "S355"
[[span]]
length = 4000
"""
FORKS = """
[[support]]
at = ["start", "end"]
kind = "fork"
"""
CANTILEVER = """
[[support]]
at = "start"
kind = "fixed"
"""


def circle(radius: float = 50.0) -> str:
    return f'[[section.bar.shape]]\nprofile = "Circle"\nRadius = {radius}\n'


def stress_of(*parts: str, limits: tuple[StressLimit, ...] = ()):  # type: ignore[no-untyped-def]
    request: MemberRequest = member_from_toml(HEAD + "".join(parts))
    solution = solve(request.member)
    stations = segment_stations(solution, request.stations)
    stress = member_stress(solution, stations, request.sections)
    assert stress is not None
    rows = stress_utilisation(limits, stress, stations, request.sections)
    return request, stress, rows


def test_bending_of_a_round_bar() -> None:
    """sigma = P L / (4 W), W = pi r^3 / 4, at midspan and the extreme fibre; nothing at the ends
    but shear."""
    load = '[[load]]\nat = "middle"\nweight = "2 kN"\nplace = "shear centre"\n'
    _, stress, _ = stress_of(circle(), FORKS, load)
    sigma = 2e3 * 4000 / 4 / (math.pi * 50**3 / 4)
    assert stress.peak.value == pytest.approx(sigma, rel=1e-6)
    assert stress.peak.station == pytest.approx(2000)
    assert abs(stress.peak.at[1]) == pytest.approx(50, rel=1e-4)
    assert stress.tension.max() == pytest.approx(sigma, rel=2e-3)
    assert stress.compression.min() == pytest.approx(-sigma, rel=2e-3)
    assert stress.bounded


def test_torsion_of_a_round_bar() -> None:
    """tau = T r / J with J = pi r^4 / 2; von Mises stress sqrt(3) tau."""
    load = '[[load]]\nat = "end"\nT = "1 kN*m"\n'
    _, stress, _ = stress_of(circle(), CANTILEVER, load)
    tau = 1e6 * 50 / (math.pi * 50**4 / 2)
    np.testing.assert_allclose(stress.shear, tau, rtol=2e-3)
    assert stress.peak.value == pytest.approx(math.sqrt(3) * tau, rel=1e-6)


def test_bending_and_torsion_add_at_one_fibre() -> None:
    """sqrt(sigma^2 + 3 tau^2) at the root's extreme fibre, where both are largest."""
    loads = '[[load]]\nat = "end"\nT = "1 kN*m"\nweight = "0.3 kN"\nplace = "centroid"\n'
    _, stress, _ = stress_of(circle(), CANTILEVER, loads)
    sigma = 300 * 4000 / (math.pi * 50**3 / 4)
    tau = 1e6 * 50 / (math.pi * 50**4 / 2)
    assert stress.peak.value == pytest.approx(math.hypot(sigma, math.sqrt(3) * tau), rel=1e-5)


def test_limits_take_the_strength_or_a_value() -> None:
    load = '[[load]]\nat = "middle"\nweight = "2 kN"\nplace = "shear centre"\n'
    limits = (
        StressLimit(),
        StressLimit(factor=1.5),
        StressLimit(10.0, component="tension"),
        StressLimit(50.0, component="compression"),
        StressLimit(30.0),
    )
    _, stress, rows = stress_of(circle(), FORKS, load, limits=limits)
    sigma = stress.peak.value
    assert [row.ratio for row in rows] == pytest.approx(
        [sigma / 355, 1.5 * sigma / 355, sigma / 10, sigma / 50, sigma / 30], rel=2e-3
    )
    assert [row.passed for row in rows] == [True, True, False, True, True]
    assert stress.utilisation is not None
    assert stress.utilisation.max() == pytest.approx(sigma / 355, rel=2e-3)


def test_the_weaker_of_two_materials_governs() -> None:
    """Bonded halves of one stiffness and two strengths: the ratio, not the stress, is compared."""
    text = """
    [material.weak]
    E = "210 GPa"
    nu = 0.3
    strength = "100 MPa"
    [[section.bar.outline]]
    material = "steel"
    points = [[-40, 0], [40, 0], [40, 60], [-40, 60]]
    [[section.bar.outline]]
    material = "weak"
    points = [[-40, -60], [40, -60], [40, 0], [-40, 0]]
    """
    load = '[[load]]\nat = "middle"\nweight = "5 kN"\nplace = "shear centre"\n'
    _, stress, rows = stress_of(text, FORKS, load, limits=(StressLimit(),))
    sigma = 5e3 * 4000 / 4 / (80 * 120**2 / 6)
    assert rows[0].ratio == pytest.approx(sigma / 100, rel=1e-3)
    assert stress.peak.value == pytest.approx(sigma, rel=1e-3)


def test_a_strength_in_compression_is_not_compared_with_von_mises() -> None:
    text = HEAD.replace("S355", "C30/37") + circle() + FORKS
    text += '[[load]]\nweight = "1 kN/m"\nplace = "centroid"\n[[limit]]\nstress = "strength"\n'
    with pytest.raises(InputError, match=r"limit 1: the strength of .* is one in compression"):
        assess(member_from_toml(text))


def test_a_taper_is_stressed_as_the_section_that_is_there() -> None:
    """Round bar from r = 50 to 35 as a cantilever: sigma = 4 P (L - z) / (pi r(z)^3), within what
    interpolation between four solved parts leaves, never below."""
    small = circle(35.0).replace("section.bar", "section.slim")
    taper = '[[segment]]\nsection = "bar"\ntaper_to = "slim"\n'
    load = '[[load]]\nat = "end"\nweight = "1 kN"\nplace = "centroid"\n'
    _, stress, _ = stress_of(circle(), small, taper, CANTILEVER, load)
    rows = (stress.z > 1) & (stress.z < 3000)
    z = stress.z[rows]
    exact = 1e3 * (4000 - z) * 4 / (math.pi * (50 - 15 * z / 4000) ** 3)
    ratio = stress.tension[rows, 0] / exact
    assert ratio.min() > 0.995
    assert ratio.max() < 1.02


def test_stations_stand_on_both_sides_of_jumps_and_follow_thin_layers() -> None:
    load = '[[load]]\nat = 1234\nT = "1 kN*m"\n'
    tube = (
        '[[section.bar.shape]]\nprofile = "RectangleHollow"\nXDim = 60\nYDim = 120\n'
        "WallThickness = 5\n"
    )
    request = member_from_toml(HEAD + tube + FORKS + load)
    solution = solve(request.member)
    table = whole(segment_stations(solution, 50))
    assert np.all(np.diff(table.z) >= 0)
    at = np.flatnonzero(table.z == 1234)
    assert len(at) == 2
    assert np.diff(table.T[at, 0]) == pytest.approx(-1e6)
    a = request.sections["bar"].constants.characteristic_length
    assert a < 4000 / 50
    assert np.sum(np.abs(table.z - 1234) < 2 * a) > 8


# -- sections in place of the member's own ---------------------------------------------------------
I_SHAPE = Section.single(
    Contour(
        [(-50, -100), (50, -100), (50, -90), (4, -90), (4, 90), (50, 90), (50, 100), (-50, 100),
         (-50, 90), (-4, 90), (-4, -90), (-50, -90)]
    ),
    material=STEEL,
    unit="mm",
)  # fmt: skip
CHANNEL = Section.single(
    Contour([(0, -100), (60, -100), (60, -92), (8, -92), (8, 92), (60, 92), (60, 100), (0, 100)]),
    material=STEEL,
    unit="mm",
)


@pytest.mark.parametrize(("section", "cells"), [(I_SHAPE, 2), (CHANNEL, 1)])
def test_plates_close_open_sections(section: Section, cells: int) -> None:
    result = solve_section(section, 1e-3)
    closed = closed_by_plates(result)
    assert closed is not None
    assert closed.bounds() == pytest.approx(section.bounds())
    assert len(closed.regions[0].holes) == cells
    assert solve_section(closed, 1e-3).torsion_constant > 20 * result.torsion_constant


@pytest.mark.parametrize("section", [I_SHAPE, CHANNEL])
def test_a_tube_of_equal_weight(section: Section) -> None:
    result = solve_section(section, 1e-3)
    tube = tube_of_equal_weight(result)
    assert tube is not None
    assert sum(r.area() for r in tube.regions) == pytest.approx(result.area, rel=1e-12)
    assert tube.bounds() == pytest.approx(section.bounds())


def test_closed_and_solid_sections_have_no_such_alternatives() -> None:
    solid = solve_section(Section.single(Contour.circle((0, 0), 40), material=STEEL), 1e-3)
    assert closed_by_plates(solid) is None
    assert tube_of_equal_weight(solid) is None
    box = Section.single(
        Contour([[0, 0], [90, 0], [90, 90], [0, 90]]),
        [Contour([[5, 5], [5, 85], [85, 85], [85, 5]])],
        material=STEEL,
    )
    closed = solve_section(box, 1e-3)
    assert closed_by_plates(closed) is None
    assert tube_of_equal_weight(closed) is None


def test_between_two_fillets_is_a_fillet() -> None:
    small = Section.single(Contour.circle((0, 0), 2.0))
    large = Section.single(Contour.circle((1, 0), 4.0))
    middle = intermediate(small, large, 0.5)
    assert middle.regions[0].area() == pytest.approx(math.pi * 9)
    assert matches(small, large)
    assert not matches(small, I_SHAPE)


def test_an_assessment_tries_every_cure_on_the_same_member() -> None:
    text = HEAD + FORKS + '[[load]]\nweight = "4 kN/m"\nplace = "origin"\neccentricity = 60\n'
    text += "[section.i]\n[[section.i.outline]]\npoints = "
    text += str([list(map(float, p)) for p in np.asarray(I_SHAPE.regions[0].outline.points)])
    text += '\n[remedy]\nsecondary_beam = { E = "210 GPa", I = "500 cm^4", length = "3 m", '
    text += 'far_end = "pinned" }\n'
    assessment = assess(member_from_toml(text))
    rows = {cure.title: cure for cure in assessment.cures}
    now = rows["existing"]
    leads = assessment.deformed
    assert leads is not None
    assert now.twist == pytest.approx(leads.rows[0].twist.deforming, rel=1e-6)
    assert now.stress == pytest.approx(leads.stress.mises.max(), rel=1e-9)
    moved = rows["loads moved to the shear centre"]
    assert moved.twist < 1e-9 * now.twist  # type: ignore[operator]
    # A remedy is that member, solved for itself.
    held = rows["warping restrained at the ends"]
    itself = assess(member_from_toml(text.replace('"fork"', '"warping held"')), cures=False)
    assert itself.deformed is not None
    assert held.twist == pytest.approx(itself.deformed.rows[0].twist.deforming, rel=1e-9)
    assert held.stress == pytest.approx(itself.deformed.stress.mises.max(), rel=1e-9)
    assert held.twist < 0.9 * now.twist  # type: ignore[operator]
    classical = assess(member_from_toml(text + '[analysis]\nsections = "keep their shape"\n'))
    assert classical.cures[0].twist == pytest.approx(np.abs(classical.table.phi).max(), rel=1e-6)
    peak = classical.stress.mises.max()  # type: ignore[union-attr]
    assert classical.cures[0].stress == pytest.approx(peak, rel=1e-3)
    for title in rows:
        if title.startswith(("closed by plates", "tube of equal weight")):
            assert rows[title].twist_ratio < 0.1  # type: ignore[operator]
    assert len(rows) == 5  # without a point load there is no station for a secondary
    assert assessment.customary
    assert assessment.limits[0].kind == "twist"
