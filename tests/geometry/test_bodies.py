"""Sections taken apart, and what pressing plates together is worth against welding them."""

from __future__ import annotations

import pytest
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.checks.components import separate_bodies
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.plates import Plate, Weld, assemble
from soapfilm.geometry.section import Section
from soapfilm.solver.section import solve_section

#: A square box 100 between centrelines, walls 4.
BOX = (
    Plate("top", ((-50, 50), (50, 50)), 4, corner="mitre"),
    Plate("right", ((50, 50), (50, -50)), 4, corner="mitre"),
    Plate("bottom", ((50, -50), (-50, -50)), 4, corner="mitre"),
    Plate("left", ((-50, -50), (-50, 50)), 4, corner="mitre"),
)
CORNERS = [("top", "right"), ("right", "bottom"), ("bottom", "left"), ("left", "top")]


def box(welded: int) -> Section:
    welds = [Weld(f"corner {k}", CORNERS[k], kind="full") for k in range(welded)]
    return assemble(BOX, welds, unit="mm")


def torsion_constant(section: Section) -> float:
    return sum(solve_section(body, 1e-4).torsion_constant for body in separate_bodies(section))


def test_one_body_comes_back_unchanged() -> None:
    section = shape("W10X49")
    assert separate_bodies(section) == (section,)
    assert len(separate_bodies(box(4))) == 1


@pytest.mark.parametrize(("welded", "bodies"), [(0, 4), (1, 3), (2, 2), (3, 1)])
def test_every_missing_weld_makes_one_more_body(welded: int, bodies: int) -> None:
    parts = separate_bodies(box(welded))
    assert len(parts) == bodies
    assert sum(len(p.regions) for p in parts) == 4
    assert sum(len(p.joints) for p in parts) == welded
    for part in parts:
        check(part)


def test_seam_and_inner_slits_stay_with_their_body() -> None:
    tube = Plate("tube", ((50, 0), (-50, 0), (50, 0)), 6, bulges=(1, 1))
    tee = [Plate("flange", ((80, 0), (180, 0)), 10), Plate("web", ((130, 0), (130, -80)), 8)]
    section = assemble([tube, *tee], [Weld("root", ("flange", "web"), leg=5)])
    first, second = separate_bodies(section)
    assert [s.name for s in first.slits] == ["seam of 'tube'"]
    assert [s.name for s in second.slits] == ["contact of 'flange' and 'web'"]
    assert [j.name for j in second.joints] == ["root 1", "root 2"]
    check(first)
    check(second)


def test_welded_box_against_pressed_box() -> None:
    """Closed and open thin-walled theory: 4 A^2 t / s and sum of s t^3 / 3; corners make the exact
    values differ by a few thicknesses in a side, 4 % here."""
    closed, slit, pressed = (torsion_constant(box(k)) for k in (4, 3, 0))
    assert closed == pytest.approx(4 * 100**4 * 4 / 400, rel=0.02)
    assert pressed == pytest.approx(4 * 100 * 4**3 / 3, rel=0.04)
    assert slit == pytest.approx(400 * 4**3 / 3, rel=0.04)
    assert pressed < slit < closed / 300


def test_flanges_pressed_together_gain_with_the_throat() -> None:
    lower = Plate("lower", ((-60, 0), (60, 0)), 10)
    upper = Plate("upper", ((-50, 9), (50, 9)), 8)

    def joined(depth: float) -> float:
        weld = Weld("edge", ("lower", "upper"), kind="partial", depth=depth)
        return torsion_constant(assemble([lower, upper], [weld]))

    pressed = torsion_constant(assemble([lower, upper]))
    values = [pressed, *(joined(depth) for depth in (0.5, 2, 8))]
    full = torsion_constant(
        assemble([lower, upper], [Weld("all", ("lower", "upper"), kind="full")])
    )
    assert values == sorted(values)
    assert values[-1] < full
    # Apart they are two strips; in one piece almost a strip of their common thickness.
    assert pressed == pytest.approx(120 * 10**3 / 3 + 100 * 8**3 / 3, rel=0.07)
    assert full > 2.2 * pressed
