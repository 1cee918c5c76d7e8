"""Grids, lists and samples: which points they have, always the same ones, and their errors."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import qmc
from soapfilm.geometry.errors import InputError
from soapfilm.solver.study.file.parameter import Parameter, number_of
from soapfilm.solver.study.file.plan import METHODS, Plan
from soapfilm.solver.study.file.study_file import load_study

A = Parameter("a", ("x.a",), (1, 2, 3))
B = Parameter("b", ("x.b", "x.c"), (), 10.0, 30.0, "mm")
LOG = Parameter("l", ("x.l",), (), 1.0, 100.0, "", "log")


def test_a_grid_has_every_combination_the_last_fastest() -> None:
    plan = Plan("grid", (A, B), (None, 3))
    assert len(plan) == 9
    points = list(plan.points())
    assert points[:4] == [(1, "10.0 mm"), (1, "20.0 mm"), (1, "30.0 mm"), (2, "10.0 mm")]
    assert plan.assignments(points[1]) == {"x.a": 1, "x.b": "20.0 mm", "x.c": "20.0 mm"}


def test_a_list_takes_values_side_by_side() -> None:
    plan = Plan("list", (A, LOG), (None, 3))
    assert list(plan.points()) == [(1, 1.0), (2, 10.0), (3, 100.0)]
    with pytest.raises(InputError, match="as many values of every parameter, got a 3, l 4"):
        Plan("list", (A, LOG), (None, 4))


@pytest.mark.parametrize("method", METHODS)
def test_a_sample_is_even_and_repeats(method: str) -> None:
    plan = Plan("sample", (B, LOG), (), 64, method, 7)
    points = list(plan.points())
    assert points == list(plan.points())
    assert points != list(Plan("sample", (B, LOG), (), 64, method, 8).points())
    lengths = np.array([number_of(p[0]) for p in points])
    assert 10 <= lengths.min() < 10.7
    assert 29.3 < lengths.max() <= 30
    logs = np.log10([p[1] for p in points])
    unit = np.stack([(lengths - 10) / 20, logs / 2], axis=1)
    # A random sample's centred discrepancy is about ten times that of these.
    assert qmc.discrepancy(unit) < 0.01 * (4 if method == "latin" else 1)


def test_a_sobol_sample_wants_a_power_of_two() -> None:
    with pytest.raises(InputError, match="use 64 or 128"):
        Plan("sample", (B,), (), 100)


def test_more_points_than_a_length_can_tell_are_refused() -> None:
    """Python has no length of 2^63 or more."""
    several = tuple(Parameter(f"p{k}", (f"x.p{k}",), (), 1.0, 2.0) for k in range(7))
    for kind, steps, count in (("sample", (), 2**66), ("grid", (1000,) * 7, 0)):
        with pytest.raises(InputError, match=r"^\d{20,} points; a study has at most \d+$"):
            Plan(kind, several, steps, count)


def test_a_list_of_values_can_be_sampled() -> None:
    plan = Plan("sample", (A, B), (), 32)
    seen = [p[0] for p in plan.points()]
    assert {seen.count(v) for v in (1, 2, 3)} <= {10, 11}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "section is missing"),
        ('section = "tube.toml"', "needs a parameter"),
        ('section = "nix.toml"', "cannot be read"),
        ('section = "tube.toml"\nkind = "gird"', "did you mean 'grid'"),
        ('section = "tube.toml"\ncolour = 1', "'colour' is not a key"),
        ('section = "tube.toml"\nmember = "a.toml"', "either section or member"),
        ('section = "tube.toml"\naccuracy = 2', "accuracy lies between 1e-11 and 0.5"),
        ('section = "tube.toml"\ncount = 4\n[[parameter]]\nname="t"\nsets="wall.XDim"\n'
         "values=[1]", "belong to kind"),
    ],
)  # fmt: skip
def test_slips_in_a_study(tube: Path, text: str, words: str) -> None:
    file = tube.with_name("study.toml")
    file.write_text(text)
    with pytest.raises(InputError, match=words) as error:
        load_study(file)
    assert str(error.value).startswith(f"{file}: ")


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('sets = "wall.XDim"', "name is missing"),
        ('name = "t"\nvalues = [1]', "sets is missing"),
        ('name = "t"\nsets = "wall.XDim"', "either values or a range"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = [1]\nfrom = 1', "either values or a range"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = []', "one value or more"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = [1, 1]', "has a value twice"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = [nan]', "numbers or texts"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = [9, 99999999999999999]', "whole numbers go"),
        (f'name = "t"\nsets = "wall.XDim"\nfrom = 9\nto = 1{400 * "0"}', "to: whole numbers go"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 1', "to is missing"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 3\nto = 1\nsteps = 2', "from must be below to"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 1\nto = 2', "steps is missing"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 1\nto = 2\nsteps = 1', "from 2 to"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 1\nto = 2\nsteps = inf', "a finite number"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = "1 in"\nto = "2 mm"\nsteps = 2', "different unit"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 0\nto = 2\nsteps = 2\nspacing = "log"', "above 0"),
        ('name = "t"\nsets = "wal.XDim"\nvalues = [1]', "did you mean 'wall'"),
        ('name = "t"\nsets = ["wall.XDim", "wall.XDim"]\nvalues = [1]', "is set twice"),
        ('name = "t"\nsets = ["wall.XDim", "shape.1.XDim"]\nvalues = [1]', "as 'wall.XDim' too"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = 1\nto = inf\nsteps = 2', "are finite"),
        ('name = "t"\nsets = []\nvalues = [1]', "sets nothing; name an address"),
        ('name = "t"\nsets = 3\nvalues = [1]', "sets is an address like"),
        ('name = "t"\nsets = "wall.XDim"\nvalues = [1, 2]\nsteps = 2', "belong to a range"),
        ('name = "t"\nsets = "wall.XDim"\nfrom = [1]\nto = 2\nsteps = 2', "from is a number or a"),
        (f'name = "t"\nsets = "wall.XDim"\nvalues = {list(range(100001))}', "has 100001 entries"),
    ],
)  # fmt: skip
def test_slips_in_a_parameter(tube: Path, keys: str, words: str) -> None:
    file = tube.with_name("study.toml")
    file.write_text(f'section = "tube.toml"\n[[parameter]]\n{keys}\n')
    with pytest.raises(InputError, match=words):
        load_study(file)
