"""Sizing: the optimum equals brute force and closed forms, reasons are told, misses are least."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.optimize import brentq
from soapfilm.geometry.errors import InputError
from soapfilm.solver.study.choice.search import lightest
from soapfilm.solver.study.choice.section_candidate import rolled_shapes
from soapfilm.solver.study.choice.setting import Setting
from soapfilm.solver.study.choice.sizing import RolledChoice, ShapedChoice, Sizing, size_member
from soapfilm.solver.study.choice.tradeoff import tradeoff
from soapfilm.solver.study.choice.trial import attempt
from soapfilm.solver.study.file.member_base import MemberBase
from soapfilm.solver.study.file.parameter import Parameter
from soapfilm.solver.study.file.section_base import SectionBase
from soapfilm.solver.study.file.size_file import load_sizing

from .files import BEAM, ROUND

FAMILIES = ("IPE", "CFRHS")


@pytest.fixture
def setting(beam: Path) -> Setting:
    """The classical theory alone: a search as fast as brute force needs it."""
    return Setting(MemberBase.from_file(beam), accuracy=1e-3, reach=0.0)


def test_the_lightest_are_those_of_brute_force(setting: Setting) -> None:
    shapes = list(rolled_shapes(FAMILIES, "S355"))
    trials = [attempt(setting, c, thorough=True) for c in shapes]
    for width, screen in ((None, True), (None, False), (160.0, True)):
        kept = [t for t in trials if t.passed and t.width <= (width or math.inf)]
        expected = [t.label for t in sorted(kept, key=lambda t: t.weight)][:2]
        assert expected
        found = lightest(replace(setting, width=width), shapes, wanted=2, screen=screen)
        assert [t.label for t in found.found] == expected
        assert (
            found.counts["left out by a bound of the twist"] > 5
        ) == screen  # the bound spares solutions


def test_an_executor_finds_the_same(setting: Setting) -> None:
    shapes = list(rolled_shapes(["CFRHS"], "S355"))
    alone = lightest(setting, shapes, wanted=2)
    with ThreadPoolExecutor(1) as executor:
        shared = lightest(setting, shapes, wanted=2, executor=executor)
    assert [t.label for t in shared.found] == [t.label for t in alone.found]
    assert [t.label for t in shared.lighter] == [t.label for t in alone.lighter]


def test_a_tube_is_found_where_an_i_fails(setting: Setting) -> None:
    """The load beside the beam twists every I of these sizes too far; a far lighter tube holds."""
    small = replace(setting, depth=350.0)
    sizing = Sizing("s", small, RolledChoice(("IPE",), "S355"), 1)
    failed = size_member(sizing)
    assert not failed.found
    assert failed.closest is not None
    fits = next(c for c in rolled_shapes(["IPE"], "S355") if c.designation == "IPE330")
    deepest = attempt(small, fits, thorough=True)
    assert [r.words.split(":")[0] for r in deepest.reasons] == ["twist of 1 deg"]
    both = size_member(replace(sizing, choice=RolledChoice(FAMILIES, "S355")))
    assert both.found[0].label.startswith("CFRHS")
    assert both.found[0].weight < deepest.weight
    rejected = both.neighbours[0]
    assert rejected.weight <= both.found[0].weight
    assert rejected.reasons
    assert rejected.complete


def test_the_closest_miss_is_the_least_of_all(setting: Setting) -> None:
    small = replace(setting, depth=130.0)
    result = size_member(Sizing("s", small, RolledChoice(("CFRHS",), "S355"), 1))
    trials = [attempt(small, c, thorough=True) for c in rolled_shapes(["CFRHS"], "S355")]
    least = min(trials, key=lambda t: t.used)
    assert not result.found
    assert result.closest is not None
    assert result.closest.label == least.label
    assert result.closest.used == pytest.approx(least.used, rel=1e-9)
    assert result.closest.used > 1


def test_a_shape_that_cannot_be_solved_is_a_reason(setting: Setting, tmp_path: Path) -> None:
    """Slender I beams are past their critical load: first order has no answer there."""
    plain = BEAM.replace('twist = "1 deg"', 'twist = "80 deg"').replace("span/300", "span/20")
    member = tmp_path / "loose.toml"
    member.write_text(plain)
    setting = replace(setting, member=MemberBase.from_file(member))
    (slender,) = (c for c in rolled_shapes(["IPE"], "S355") if c.designation == "IPE180")
    trial = attempt(setting, slender, thorough=True)
    assert not trial.passed
    assert trial.reasons


def pipe_choice(tmp_path: Path, *parameters: Parameter) -> ShapedChoice:
    file = tmp_path / "pipe.toml"
    file.write_text(ROUND)
    return ShapedChoice(SectionBase.from_file(file), parameters)


@pytest.fixture
def twist_only(tmp_path: Path) -> Setting:
    """A member with a limit of twist alone, tighter than any deflection."""
    file = tmp_path / "twist.toml"
    text = BEAM.split("[[limit]]")[0].replace("4 kN/m", "3 kN/m").replace("[200, 0]", "[900, 0]")
    file.write_text(text + '[[limit]]\ntwist = "0.5 deg"\n')
    return Setting(MemberBase.from_file(file), accuracy=1e-3, reach=0.0)  # exact for any pipe


def needed_wall(radius: float) -> float:
    """Wall of a pipe that just keeps the twist: phi = m L^2 / (8 G J), no warping."""
    j = 3.0 * 900 * 6000**2 / (8 * 210e3 / 2.6 * math.radians(0.5))
    return float(brentq(lambda t: math.pi / 2 * (radius**4 - (radius - t) ** 4) - j, 0.1, radius))


def test_free_dimensions_reach_the_closed_optimum(
    twist_only: Setting, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a given J a pipe is lightest at its greatest radius."""
    choice = pipe_choice(
        tmp_path,
        Parameter("radius", ("pipe.Radius",), (), 40.0, 90.0),
        Parameter("wall", ("pipe.WallThickness",), (), 2.0, 15.0),
    )
    result = size_member(Sizing("pipe", twist_only, choice, 1))
    wall = needed_wall(90.0)
    assert 2.0 < wall < 15.0
    best = result.found[0]
    exact = 7.85e-6 * math.pi * (90**2 - (90 - wall) ** 2)
    assert exact * (1 - 1e-4) <= best.weight <= exact * (1 + 1e-3)
    assert best.used <= 1
    assert result.holding is not None
    assert [words for words, _ in result.holding.limits] == ["twist of 0.5 deg"]
    assert result.holding.ends == (("radius", "upper"),)

    monkeypatch.setattr("soapfilm.solver.study.choice.tradeoff._TARGETS", (0.7, 1.3))
    curve = tradeoff(result)
    assert curve.optimised
    assert len(curve.front) == 3
    weights, twists = zip(*((p.weight, p.twist) for p in curve.front), strict=True)
    assert list(weights) == sorted(weights)
    assert list(twists) == sorted(twists, reverse=True)


def test_stock_thicknesses_are_enumerated(twist_only: Setting, tmp_path: Path) -> None:
    radii, walls = (50.0, 65.0, 80.0), (3.0, 4.0, 5.0, 8.0, 12.0)
    choice = pipe_choice(
        tmp_path,
        Parameter("radius", ("pipe.Radius",), radii),
        Parameter("wall", ("pipe.WallThickness",), walls),
    )
    result = size_member(Sizing("pipe", twist_only, choice, 2))
    kept = sorted(
        (math.pi * (r**2 - (r - t) ** 2), f"radius = {r:g}, wall = {t:g}")
        for r in radii
        for t in walls
        if t >= needed_wall_or_all(r)
    )
    assert [t.label for t in result.found] == [label for _, label in kept[:2]]


def needed_wall_or_all(radius: float) -> float:
    try:
        return needed_wall(radius)
    except ValueError:  # not even a solid bar of it is stiff enough
        return math.inf


def test_stock_thickness_with_a_free_radius(twist_only: Setting, tmp_path: Path) -> None:
    walls = (5.0, 7.0)
    choice = pipe_choice(
        tmp_path,
        Parameter("radius", ("pipe.Radius",), (), 40.0, 90.0),
        Parameter("wall", ("pipe.WallThickness",), walls),
    )
    result = size_member(Sizing("pipe", twist_only, choice, 1))
    weights = []
    for wall in walls:
        if needed_wall(90.0) <= wall:
            radius = brentq(lambda r, t=wall: needed_wall_or_all(r) - t, 60.0, 90.0)
            weights.append(7.85e-6 * math.pi * (radius**2 - (radius - wall) ** 2))
    assert result.found[0].weight == pytest.approx(min(weights), rel=1e-3)


def test_an_impossible_range_gives_its_closest(twist_only: Setting, tmp_path: Path) -> None:
    choice = pipe_choice(tmp_path, Parameter("radius", ("pipe.Radius",), (), 20.0, 40.0))
    result = size_member(Sizing("pipe", twist_only, choice, 1))
    assert not result.found
    assert result.closest is not None
    assert result.closest.label == "radius = 40"  # the stiffest of them


def test_too_many_combinations(twist_only: Setting, tmp_path: Path) -> None:
    """Lists of words have no ends to be taken for a range."""
    values = tuple(f"wall {v}" for v in range(1, 200))
    choice = pipe_choice(
        tmp_path,
        Parameter("radius", ("pipe.Radius",), values),
        Parameter("wall", ("pipe.WallThickness",), values),
    )
    with pytest.raises(InputError, match="39601 combinations"):
        size_member(Sizing("pipe", twist_only, choice, 1))


def test_the_curve_of_a_catalogue(setting: Setting) -> None:
    result = size_member(Sizing("s", setting, RolledChoice(("CFRHS",), "S355"), 1))
    curve = tradeoff(result)
    assert not curve.optimised
    assert {p.group for p in curve.points} == {"CFRHS"}
    for point in curve.front:
        better = [p for p in curve.points if p.weight <= point.weight and p.twist < point.twist]
        assert not better


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "member is missing"),
        ('member = "nix.toml"\n[catalogue]\nmaterial = "S355"', "cannot be read"),
        ('member = "beam.toml"', "nothing is to be chosen"),
        ('member = "beam.toml"\nsection = "pipe.toml"\n[catalogue]\nmaterial = "S355"', "one of"),
        ('member = "beam.toml"\n[catalogue]', "material is missing"),
        ('member = "beam.toml"\n[catalogue]\nmaterial = "S356"', "use S355"),
        ('member = "beam.toml"\n[catalogue]\nmaterial = "S355"\nfamilies = ["IPX"]', "use IPE"),
        ('member = "beam.toml"\nreplaces = "tub"\n[catalogue]\nmaterial = "S355"', "no section"),
        ('member = "beam.toml"\ndepth = "-3 mm"\n[catalogue]\nmaterial = "S355"', "positive"),
        ('member = "beam.toml"\nwanted = 0\n[catalogue]\nmaterial = "S355"', "wanted is"),
        ('member = "beam.toml"\nsection = "pipe.toml"', "nothing is to be chosen"),
        ('member = "beam.toml"\nsection = "pipe.toml"\n[[parameter]]\nname = "r"\n'
         'sets = "pipe.Radius"\nfrom = 1\nto = 2\nsteps = 3', "has no steps"),
        ('member = "beam.toml"\n[[parameter]]\nname = "a"\nsets = "load.1.weight"\nfrom = 1\n'
         'to = 2\n[[parameter]]\nname = "b"\nsets = "wall.weight"\nvalues = [3]', "set twice"),
        ('member = "free.toml"\n[catalogue]\nmaterial = "S355"', "nothing limits the section"),
    ],
)  # fmt: skip
def test_slips_in_a_size_file(beam: Path, text: str, words: str) -> None:
    beam.with_name("pipe.toml").write_text(ROUND)
    beam.with_name("free.toml").write_text(BEAM.split("[[limit]]")[0])
    file = beam.with_name("size.toml")
    file.write_text(text)
    with pytest.raises(InputError, match=words) as error:
        load_sizing(file)
    assert str(error.value).startswith(f"{file}: ")
