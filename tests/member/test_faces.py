"""Places and heights named by faces: where they lie, and that they follow the section."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.geometry.units import Units
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.file.face_words import face_of, height_of
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.faces import Faces, Height
from soapfilm.solver.member.model.member import Segment
from soapfilm.solver.member.review.assessment import assess

MM = Units("mm")
CENTRES = {"shear_centre": 11.0, "centroid": 7.0}


def polygon(*points: tuple[float, float], holes: tuple[Contour, ...] = ()) -> Faces:
    return Faces.of(Section((Region(Contour(list(points)), holes),), "s", "mm"))


def box() -> Faces:
    """400 x 200, walls 10, an inner web of 20 left of the middle."""
    cells = tuple(
        Contour([[a, 10], [a, 190], [b, 190], [b, 10]]) for a, b in ((10.0, 130.0), (150.0, 390.0))
    )
    return polygon((0, 0), (400, 0), (400, 200), (0, 200), holes=cells)


def eye() -> Faces:
    """300 deep, 160 wide, flanges 20, web 10 about x = 80."""
    return polygon(
        (0, 0), (160, 0), (160, 20), (85, 20), (85, 280), (160, 280), (160, 300), (0, 300),
        (0, 280), (75, 280), (75, 20), (0, 20),
    )  # fmt: skip


def at(faces: Faces, words: str) -> tuple[float, float]:
    return faces.point(face_of(words, MM, "place"), CENTRES)


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("left face", (0, 150)),
        ("right face, 60 mm below top", (160, 240)),
        ("right face, 4 cm above bottom", (160, 40)),
        ("left, 10 below middle", (0, 140)),
        ("top", (80, 300)),
        ("bottom face", (80, 0)),
        ("top, 40 mm from left", (40, 300)),
        ("top, 40 mm from right", (120, 300)),
        ("bottom, 5 mm left of middle", (75, 0)),
        ("bottom, 5 mm right of the middle", (85, 0)),
        ("web", (80, 150)),
        ("web, 100 mm below top", (80, 200)),
        ("web left face, 100 mm below the top", (75, 200)),
        ("web, right face", (85, 150)),
        ("web, at shear centre", (80, 11)),
    ],
)
def test_places_on_an_i(words: str, place: tuple[float, float]) -> None:
    if "shear centre" in words:  # in the lower flange, where no web is
        with pytest.raises(InputError, match="no web at"):
            at(eye(), words)
        return
    assert at(eye(), words) == pytest.approx(place, abs=1e-9)


def test_webs_of_a_box_are_counted_from_the_left() -> None:
    assert at(box(), "left web") == pytest.approx((5, 100))
    assert at(box(), "right web, right face") == pytest.approx((400, 100))
    assert at(box(), "left web right face, 10 mm above middle") == pytest.approx((10, 110))
    assert at(box(), "web") == pytest.approx((140, 100))  # the inner one of three
    tube = polygon(
        (0, 0), (100, 0), (100, 200), (0, 200),
        holes=(Contour([[10, 10], [10, 190], [90, 190], [90, 10]]),),
    )  # fmt: skip
    with pytest.raises(InputError, match="has 2 walls"):
        at(tube, "web")
    with pytest.raises(InputError, match="no web at"):
        at(box(), "left web, 5 mm below top")


def test_a_round_tube_and_a_channel() -> None:
    hole = Contour.circle((0.0, 0.0), 90.0).reversed()
    tube = Faces.of(Section((Region(Contour.circle((0.0, 0.0), 100.0), (hole,)),), "o", "mm"))
    assert at(tube, "top") == pytest.approx((0, 100), abs=1e-6)
    x = (math.sqrt(100**2 - 60**2) + math.sqrt(90**2 - 60**2)) / 2
    assert at(tube, "left web, 60 mm above middle") == pytest.approx((-x, 60), abs=1e-3)
    channel = polygon((0, 0), (60, 0), (60, 8), (6, 8), (6, 92), (50, 92), (50, 100), (0, 100))
    assert at(channel, "web") == pytest.approx((3, 50))
    assert at(channel, "top") == pytest.approx((25, 100))


def test_touching_regions_are_one_wall() -> None:
    halves = tuple(
        Region(Contour([[a, 0], [b, 0], [b, 300], [a, 300]])) for a, b in ((0.0, 5.0), (5.0, 10.0))
    )
    flange = Region(Contour([[-50, 300], [60, 300], [60, 320], [-50, 320]]))
    faces = Faces.of(Section((*halves, flange), "halves", "mm"))
    assert at(faces, "web, 50 mm above bottom") == pytest.approx((5, 50))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("front face", "names no face"),
        ("left face, deep down", "is no height"),
        ("left face, 10 mm from left", "is no height"),
        ("top, 10 mm below top", "is no place along the top"),
        ("left face, 10 kg below top", "place"),
        ("left face, 400 mm below top", "lies outside section 's', which is 300 deep"),
        ("top, 400 mm from left", "which is 160 wide"),
    ],
)
def test_wrong_words_are_named(words: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        at(eye(), words)


def test_heights() -> None:
    assert height_of("top", MM, "level") == Height("top")
    assert height_of("100 mm below top", MM, "level") == Height("top", -100.0)
    assert height_of("2 cm above centroid", MM, "level") == Height("centroid", 20.0)
    assert eye().height(Height("middle", 3.0), CENTRES) == 153.0


def test_faces_of_a_section_between_two_others() -> None:
    common = {"elastic_modulus": 1.0, "shear_modulus": 1.0, "second_moment_x": 1.0}
    more = {"second_moment_y": 1.0, "torsion_constant": 1.0, "area": 1.0}
    deep = polygon((0, 0), (40, 0), (40, 500), (0, 500))
    first = SectionConstants(**common, **more, faces=eye())  # type: ignore[arg-type]
    last = SectionConstants(**common, **more, faces=deep)  # type: ignore[arg-type]
    middle = first.blended(last, 0.25)
    assert middle.height(Height("top", -10.0)) == pytest.approx(0.75 * 290 + 0.25 * 490)
    assert middle.face_point(face_of("right face", MM, "p")) == pytest.approx((130, 175))


# -- in a member ---------------------------------------------------------------------------------
FILE = """
unit = "mm"
[section.small]
shape = "HEB300"
material = "S355"
[section.deep]
shape = "HEB600"
material = "S355"
[[segment]]
section = "small"
[[span]]
length = "6 m"
[points]
"stone" = "left face"
[[support]]
at = ["start", "end"]
kind = "fork"
point = "bottom"
[[spring]]
name = "tie"
at = "middle"
x = "2 kN/mm"
level = "100 mm below top"
[[deck]]
name = "slab"
x = "1 kN/mm/m"
twist = "20 kN*m/rad/m"
level = "top"
[[secondary_beam]]
name = "joist"
at = "2 m"
E = "210 GPa"
I = "1940 cm^4"
length = "4 m"
far_end = "pinned"
connection = "pinned"
place = "web right face"
side = "right"
loads = { q = "4 kN/m" }
[[load]]
case = "q"
weight = "5 kN/m"
place = "stone"
eccentricity = [-80, 0]
[[limit]]
deflection = "span/300"
point = "right face, 20 mm below top"
"""


def test_a_member_with_faces_is_the_one_with_coordinates() -> None:
    plain = FILE
    for face, numbers in (
        ('"stone" = "left face"', '"stone" = [-150, 0]'),
        ('point = "bottom"', "point = [0, -150]"),
        ('level = "100 mm below top"', "level = 50"),
        ('level = "top"', "level = 150"),
        ('place = "web right face"', "place = [5.5, 0]"),
        ('"right face, 20 mm below top"', "[150, 130]"),
    ):
        assert face in plain
        plain = plain.replace(face, numbers)
    found, other = (assess(member_from_toml(text)) for text in (FILE, plain))
    np.testing.assert_allclose(found.table.phi, other.table.phi, rtol=1e-9, atol=1e-15)
    np.testing.assert_allclose(found.table.B, other.table.B, rtol=1e-9, atol=1e-3)
    assert found.limits[0].row.value == pytest.approx(other.limits[0].row.value, rel=1e-9)
    assert found.cures[0].twist == pytest.approx(other.cures[0].twist, rel=1e-9)
    # The deeper beam among the remedies: its faces lie elsewhere, so its answer differs.
    deep, stuck = (next(c for c in a.cures if c.title == "deep") for a in (found, other))
    assert deep.twist is not None
    assert stuck.twist is not None
    assert abs(deep.twist / stuck.twist - 1) > 0.01


def test_places_follow_a_section_that_is_exchanged() -> None:
    request = member_from_toml(FILE)
    deep = request.alternatives["deep"].constants
    member = request.member.with_(segments=(Segment(0.0, 6000.0, deep),))
    straight = FILE.replace('section = "small"', 'section = "deep"')
    other = member_from_toml(straight).member
    z = np.linspace(0, 6000, 13)
    np.testing.assert_allclose(solve(member).at(z).phi, solve(other).at(z).phi, rtol=1e-9)
    assert deep.height(Height("top")) == pytest.approx(300.0)


def test_a_section_by_its_figures_alone_has_no_faces() -> None:
    figures = """
[section.small]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
"""
    head, _, rest = FILE.partition("[section.small]")
    text = head + figures + rest.partition('material = "S355"\n')[2]
    with pytest.raises(InputError, match="needs the outline of section 'small'"):
        member_from_toml(text)


def test_a_sweep_moves_the_deck_with_the_beam(tmp_path: Path) -> None:
    """What a study changes, faces follow: through its cache of constants too."""
    from soapfilm.solver.study.run.cache import RecordCache
    from soapfilm.solver.study.run.member_constants import section_constants

    section = member_from_toml(FILE).sections["small"].result
    assert section is not None
    cache = RecordCache(tmp_path / "cache.db")
    first, _ = section_constants(section.section, 1e-4, cache)
    again, solved = section_constants(section.section, 1e-4, cache)
    assert solved is None
    assert again == first
    assert again.height(Height("top")) == first.height(Height("top")) == pytest.approx(150.0)
