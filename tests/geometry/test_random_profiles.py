"""Any parameters of a profile are refused, or give a valid outline."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check as check_section
from soapfilm.geometry.profiles.by_name import (
    PROFILES,
    profile_attributes,
)
from soapfilm.geometry.profiles.dimension import DimensionError
from soapfilm.geometry.profiles.profile import Profile
from soapfilm.geometry.section import Region


def ranges(name: str) -> tuple[float, float]:
    """Sizes that mostly fit together, by the kind of dimension."""
    if name.endswith("slope"):
        return 0.0, 0.12
    if name.endswith("thickness"):
        return 1.0, 20.0
    if name.endswith(("fillet_radius", "edge_radius", "rounding_radius")):
        return 0.0, 12.0
    if name == "girth":
        return 21.0, 25.0
    if name == "deviation":
        return 1e-3, 1e-1
    if name == "top_x_offset":
        return -300.0, 300.0
    return 60.0, 600.0


@st.composite
def parameters(draw: st.DrawFn, key: str, spread: float) -> dict[str, float]:
    """One value an attribute; `spread` widens every range to both sides by that factor."""
    names = [a.python for a in profile_attributes(key) if a.python != "thickness_at"]
    values = {}
    for name in names:
        low, high = ranges(name)
        values[name] = draw(st.floats(low / spread, high * spread))
    return values


def assert_valid(profile: Profile) -> None:
    check_section(profile.section())
    x0, y0, x1, y1 = profile.outline.bounds()
    size = max(x1 - x0, y1 - y0)
    assert profile.outline.area() > 0  # anticlockwise as built
    assert (x0 + x1, y0 + y1) == pytest.approx((0, 0), abs=1e-9 * size)  # centred
    region = Region(*profile)
    rings = [shapely.Polygon(c.polyline(1e-4 * size)).area for c in region.contours]
    assert region.area() > 0
    assert region.area() == pytest.approx(rings[0] - sum(rings[1:]), abs=1e-3 * size**2)


@pytest.mark.parametrize("key", PROFILES)
def test_sensible_parameters_give_valid_outlines(key: str) -> None:
    built = []

    @settings(max_examples=40, deadline=None)
    @given(parameters(key, 1.0))
    def check(values: dict[str, float]) -> None:
        try:
            profile = PROFILES[key](**values)
        except DimensionError:
            return
        built.append(key)
        assert_valid(profile)

    check()
    assert len(built) >= 4, "too few of the sensible parameters fit together"


@pytest.mark.parametrize("key", PROFILES)
def test_wild_parameters_are_refused_or_valid(key: str) -> None:
    @settings(max_examples=40, deadline=None)
    @given(parameters(key, 8.0))
    def check(values: dict[str, float]) -> None:
        try:
            profile = PROFILES[key](**values)
        except DimensionError:
            return
        assert_valid(profile)

    check()
