"""What random files have found, each with the smallest file that showed it."""

from __future__ import annotations

from typing import Any

import pytest
from soapfilm.geometry.errors import SolveError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.torsion import adaptive
from soapfilm.solver.section.torsion.interval import TorsionField

from .attempt import REFUSED, VALID, attempt

PLATES = """
unit = "mm"
[[plate]]
name = "a"
points = [[-50, 0], [50, 0]]
thickness = 10
[[plate]]
name = "b"
points = [[0, 0], [0, -80]]
thickness = 8
"""


def test_a_needle_of_rounding_ends_early(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four thousand kilometres by a few millimetres: orders and triangles only fed the rounding,
    up to the largest system allowed, for minutes. What they reached is no value of J."""
    fields = []
    solve = adaptive.solve_torsion

    def recorded(*given: Any) -> TorsionField:
        fields.append(solve(*given))
        return fields[-1]

    monkeypatch.setattr(adaptive, "solve_torsion", recorded)
    points = [[0, 0], [90, 0], [90, 12], [4294967296, 12], [12, 60], [0, 60]]
    with pytest.raises(SolveError, match=r"no value; .*thickness"):
        solve_section(Section.single(Contour(points), unit="mm"), 0.02)
    assert 1 <= len(fields) <= 10
    thin = 4294967284 * 48**3 / 12  # int t^3 / 3 of a wedge of 48 at its thick end
    best = min(fields, key=lambda field: field.relative_width)
    assert best.lower < 1.001 * thin
    assert best.upper > 0.999 * thin


@pytest.mark.parametrize(
    ("welds", "outcome"),
    [
        ([("full", ""), ("full", "")], REFUSED),
        ([("full", ""), ("partial", "depth = 1")], REFUSED),
        ([("full", ""), ("fillet", "leg = 4")], VALID),
        ([("partial", "depth = 2"), ("fillet", "leg = 4")], VALID),
    ],
)
def test_two_welds_on_one_contact(welds: list[tuple[str, str]], outcome: str) -> None:
    """A joint's line ended inside the metal of the other weld."""
    text = PLATES
    for k, (kind, size) in enumerate(welds):
        text += f'[[weld]]\nname = "w{k}"\nbetween = ["a", "b"]\nkind = "{kind}"\n{size}\n'
    assert attempt(text.encode(), ".toml", None, commands=True).what == outcome


def test_a_part_that_covers_a_throat() -> None:
    """The joint's line ended inside the later part, and nothing at all was printed."""
    weld = '[[weld]]\nname = "w"\nbetween = ["a", "b"]\nleg = 4\n'
    over = "[[outline]]\npoints = [[2, -30], [40, -30], [40, 3], [2, 3]]\n"
    text = (PLATES + weld + over).encode()
    assert attempt(text, ".toml", None, commands=True).what == VALID


def test_a_dimension_below_the_smallest_number() -> None:
    text = b"""unit = "mm"
[[shape]]
profile = "I"
OverallWidth = 1e-320
OverallDepth = 580
WebThickness = 11
FlangeThickness = 18
"""
    outcome = attempt(text, ".toml", None)
    assert outcome.what == REFUSED
    assert "WebThickness 11 mm must be less than OverallWidth" in outcome.message


def test_a_name_in_two_lines() -> None:
    """The message repeated it as it stands."""
    outcome = attempt(b'[[case]]\nname = "a\\nb"\nT = ""\n', ".cases", None)
    assert outcome.what == REFUSED
    assert "a b: T" in outcome.message


def test_parts_in_contact_only_are_judged_by_each_part() -> None:
    assert attempt(PLATES.encode(), ".toml", None, commands=True).what == VALID
