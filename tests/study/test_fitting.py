"""Free dimensions: every limit counts from the first point on, also where much of the ranges holds
no section; the end is told as far as it was checked; other objectives than weight."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.study.choice.fitting import Fit
from soapfilm.solver.study.choice.knowledge import functions_of
from soapfilm.solver.study.choice.objective import Objective
from soapfilm.solver.study.choice.setting import Setting
from soapfilm.solver.study.choice.sizing import ShapedChoice, Sizing, size_member
from soapfilm.solver.study.choice.surrogate import Surrogate, minima
from soapfilm.solver.study.choice.trial import attempt
from soapfilm.solver.study.file.member_base import MemberBase
from soapfilm.solver.study.file.size_file import load_sizing

from .files import ROUND, TUBE
from .told import told

GIRDER = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 8
FlangeThickness = 12
FilletRadius = 12
"""
#: A girder whose load stands on its top flange, beside the middle.
LOADED = """
unit = "mm"
[section.girder]
shape = "HEB200"
material = "S355"
[[span]]
length = "6 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[points]
seat = [70, 100]
[self_weight]
case = "dead"
[[load]]
case = "live"
weight = "4 kN/m"
place = "seat"
[[combination]]
name = "strength"
factors = { dead = 1.35, live = 1.5 }
[[limit]]
twist = "9 deg"
[[limit]]
stress = "strength"
"""


def sized(
    folder: Path, section: str, member: str, ranges: dict[str, tuple[float, float]]
) -> Sizing:
    """A sizing of `shape.1` with ranges."""
    (folder / "section.toml").write_text(section)
    (folder / "member.toml").write_text(member)
    text = 'member = "member.toml"\nsection = "section.toml"\nwanted = 1\naccuracy = 1e-3\n'
    for key, (low, high) in ranges.items():
        text += f'[[parameter]]\nname = "{key}"\nsets = "shape.1.{key}"\n'
        text += f"from = {low}\nto = {high}\n"
    (folder / "size.toml").write_text(text)
    return load_sizing(folder / "size.toml")


def test_stability_is_a_limit_of_the_search(tmp_path: Path) -> None:
    """The lightest girder is slender: what holds it back is its critical load, which was looked at
    only after the search and threw its answer away (71 kg/m where 48 keep every limit)."""
    sizing = sized(
        tmp_path, GIRDER, LOADED, {"OverallWidth": (80.0, 300.0), "FlangeThickness": (6.0, 30.0)}
    )
    result = size_member(sizing)
    best = result.found[0]
    assert best.passed
    assert {c.limit for c in best.checks if c.ratio > 0.99}  # some limit is used up
    governing = max(best.checks, key=lambda c: c.ratio)
    assert governing.limit == "30 % of the critical load (first order)"
    # No flange of a whole grid of widths makes a lighter girder by half a per cent.
    choice = sizing.choice
    assert isinstance(choice, ShapedChoice)
    for width in np.geomspace(80, 300, 9):
        # A = 2 b t + (h - 2 t) s + (4 - pi) r^2
        area = best.weight / 7.85e-6 * 0.995 - 300 * 8 - (4 - np.pi) * 144
        flange = area / (2 * width - 2 * 8)
        if 6 <= flange <= 30:
            values = {"OverallWidth": float(width), "FlangeThickness": float(flange)}
            other = attempt(sizing.setting, choice.candidate(values), thorough=True)
            assert other.weight == pytest.approx(0.995 * best.weight, rel=1e-6)
            assert not other.passed
    ending = result.ending
    assert ending is not None
    assert ending.converged
    assert ending.sloped >= 2
    assert result.holding is not None
    assert result.holding.balanced
    assert governing.limit in dict(result.holding.limits)
    text = told(result)
    assert "Converged after" in text
    assert "no small change is lighter" in text
    assert f"{governing.limit}: used up; 1 % more of it makes the best" in text


def test_most_of_the_ranges_holds_no_section(tmp_path: Path) -> None:
    """Walls up to 100 in a tube of 60: the middle of the ranges is none, and the search ended
    there. No lighter neighbour of what it finds keeps every limit."""
    ranges = {"WallThickness": (2.0, 100.0), "XDim": (60.0, 150.0)}
    sizing = sized(tmp_path, TUBE, LOADED, ranges)
    result = size_member(sizing)
    best = result.found[0]
    assert result.counts["without a valid section"] > 0
    assert "The first without one, WallThickness = " in " ".join(told(result).split())
    assert max(c.ratio for c in best.checks) > 0.998
    (fit,) = result.fits
    found = fit.best()
    assert found is not None
    lighter = 0
    for move in itertools.product((-0.02, 0.0, 0.02), repeat=2):
        at = np.clip(np.array(found[0]) + move, 0.0, 1.0)
        trial = attempt(sizing.setting, fit.candidate(at), thorough=True)
        if 0 < trial.weight < best.weight * (1 - 1e-9):
            lighter += 1
            assert not trial.passed
    assert lighter


def test_no_section_at_all_is_said_with_its_reasons(tmp_path: Path) -> None:
    sizing = sized(tmp_path, TUBE, LOADED, {"WallThickness": (60.0, 100.0)})
    result = size_member(sizing)
    assert not result.found
    text = told(result)
    assert "None of them could be solved in the member" in text
    assert "must be less than half of YDim" in text


def test_the_number_of_limits_may_change_from_place_to_place(tmp_path: Path) -> None:
    """Trials without an answer have no limits, those with one have several."""
    ranges = {"WallThickness": (4.0, 29.9), "XDim": (40.0, 150.0), "YDim": (60.0, 300.0)}
    sizing = sized(tmp_path, TUBE, LOADED, ranges)
    choice = sizing.choice
    assert isinstance(choice, ShapedChoice)
    fit = Fit(sizing.setting, choice.base, choice.parameters)
    assert not fit.trial((1.0, 0.0, 0.0)).weight
    for at in ((0.2, 0.2, 0.9), (0.5, 0.5, 0.5), (0.1, 0.9, 0.1), (0.3, 0.3, 0.3)):
        fit.trial(at)
    assert fit.sloped((0.5, 0.5, 0.5))
    known = functions_of(fit)
    assert known is not None
    assert np.isfinite(known[0].values(np.full((1, 3), 0.5))).all()


def test_a_search_that_runs_out_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("soapfilm.solver.study.choice.fitting.MOST", (10, 0))
    ranges = {"OverallWidth": (80.0, 300.0), "FlangeThickness": (6.0, 30.0)}
    sizing = sized(tmp_path, GIRDER, LOADED, ranges)
    sizing = replace(sizing, setting=replace(sizing.setting, reach=0.0))  # one search, no rounds
    result = size_member(sizing)
    assert result.found
    assert result.ending is not None
    assert not result.ending.converged
    text = told(result)
    assert "something lighter may exist" in text
    assert "Converged" not in text


def test_functions_go_through_their_values_and_find_a_bounded_minimum() -> None:
    """Least x + y above the circle x^2 + y^2 = 1/2: at (1/2, 1/2)."""
    rng = np.random.default_rng(4)
    places = rng.random((60, 2))
    values = np.column_stack([places.sum(axis=1), 0.5 - (places**2).sum(axis=1)])
    surrogate = Surrogate.through(places, values)
    assert surrogate.values(places) == pytest.approx(values, abs=1e-9)
    at, step = np.array([0.3, 0.6]), 1e-6
    ahead = at + step * np.eye(2)
    slopes = (surrogate.values(ahead) - surrogate.values(at[None])) / step
    assert surrogate.slopes(at) == pytest.approx(slopes.T, abs=1e-4)
    ends = surrogate.values(np.array(minima(surrogate, 0.0, np.zeros((0, 2)), 1)[:1]))
    assert ends[0, 1] <= 1e-6
    # On the circle x + y is least at its ends (0, 0.707) and (0.707, 0), not at its middle.
    assert ends[0, 0] == pytest.approx(np.sqrt(0.5), abs=5e-3)


def test_least_twist_and_any_result(beam: Path) -> None:
    base = MemberBase.from_file(beam)
    twists = {}
    values = ShapedChoice(_pipe(beam.parent), _radii())
    for objective in (
        Objective("weight"),
        Objective("twist"),
        Objective("torsion_constant", most=True),
    ):
        setting = Setting(base, accuracy=1e-3, objective=objective)
        found = size_member(Sizing("s", setting, values, 1)).found[0]
        twists[objective.of] = found.label
    assert twists == {"weight": "r = 120", "twist_deg": "r = 150", "torsion_constant": "r = 150"}
    with pytest.raises(InputError, match="did you mean 'torsion_constant'"):
        Objective("torsion_constants")


def _pipe(folder: Path):  # type: ignore[no-untyped-def]
    from soapfilm.solver.study.file.section_base import SectionBase

    (folder / "pipe.toml").write_text(ROUND)
    return SectionBase.from_file(folder / "pipe.toml")


def _radii():  # type: ignore[no-untyped-def]
    from soapfilm.solver.study.file.parameter import Parameter

    return (Parameter("r", ("pipe.Radius",), (120.0, 135.0, 150.0)),)
