"""Searches of ranges by slopes beside closed forms: least sections, what holds them back, several
sections of one member at once."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.study.choice.sizing import SizeResult, size_member
from soapfilm.solver.study.choice.surrogate import Surrogate
from soapfilm.solver.study.file.size_file import load_sizing

from .told import told

BAR = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "Rectangle"
XDim = 60
YDim = 120
"""
#: A slender bar pushed down and sideways at its middle.
PUSHED = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.bar]
file = "bar.toml"
[[span]]
length = "8 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
case = "down"
F_y = "-10 kN"
at = "middle"
place = "shear centre"
[[load]]
case = "aside"
F_x = "2 kN"
at = "middle"
place = "shear centre"
[[combination]]
name = "down"
factors = { down = 1.0 }
[[combination]]
name = "aside"
factors = { aside = 1.0 }
[[limit]]
deflection = "40 mm"
combinations = ["down"]
[[limit]]
deflection = "40 mm"
direction = "x"
combinations = ["aside"]
"""
#: The same with no limit to the side.
DOWN = PUSHED[: PUSHED.rindex("[[limit]]")]
WIDTH = '[[parameter]]\nname = "b"\nsets = "shape.1.XDim"\nfrom = 30\nto = 120\n'
HEIGHT = '[[parameter]]\nname = "h"\nsets = "shape.1.YDim"\nfrom = 60\nto = 300\n'
HEAD = 'section = "bar.toml"\n'


def sized(
    folder: Path, choice: str, member: str = PUSHED, head: str = HEAD, section: str = BAR
) -> SizeResult:
    """The size of a member in a folder."""
    (folder / "bar.toml").write_text(section)
    (folder / "member.toml").write_text(member)
    file = folder / "size.toml"
    file.write_text(f'member = "member.toml"\nwanted = 1\n{head}{choice}')
    return size_member(load_sizing(file, cached=False))


def values(result: SizeResult) -> list[float]:
    """Numbers of the best."""
    return [float(part.split("= ")[1]) for part in result.found[0].label.split(", ")]


def test_two_limits_hold_two_dimensions(tmp_path: Path) -> None:
    """b h^3 and h b^3 are given by both limits: P L^3 / (48 E I), shear apart; in logarithms each
    limit is worth a quarter of the weight."""
    found = sized(tmp_path, WIDTH + HEIGHT)
    down, aside = (p * 8000**3 / (48 * 210e3 * 40) * 12 for p in (10e3, 2e3))
    h = (down**3 / aside) ** (1 / 8)
    b = down / h**3
    assert values(found) == pytest.approx([b, h], rel=3e-3)
    assert found.holding is not None
    assert found.holding.balanced
    assert not found.holding.ends
    assert [factor for _, factor in found.holding.limits] == pytest.approx([0.25] * 2, rel=0.03)
    text = told(found)
    assert "1 % more of it makes the best 0.25 % lighter" in text
    assert found.ending is not None
    assert found.ending.converged
    assert found.ending.sloped >= 2


def test_an_end_of_a_range_holds(tmp_path: Path) -> None:
    """Downward alone the deepest bar is the lightest, and its breadth in proportion to the load."""
    one = DOWN.replace("-10 kN", "-40 kN")
    found = sized(tmp_path, WIDTH + HEIGHT.replace("300", "200"), one)
    breadth = 40e3 * 8000**3 / (48 * 210e3 * 40) * 12 / 200**3
    assert values(found) == pytest.approx([breadth, 200], rel=4e-3)  # shear: 0.2 %
    assert found.holding is not None
    assert found.holding.ends == (("h", "upper"),)
    ((_, factor),) = found.holding.limits
    assert factor == pytest.approx(1, rel=0.02)


NAMED = """
[section.{0}]
[[section.{0}.shape]]
profile = "Rectangle"
material = "S355"
XDim = 60
YDim = 120
"""
#: Two sections: the middle half of a beam and its outer quarters; a cart travels over it.
CARRIED = f"""
unit = "mm"
[analysis]
sections = "keep their shape"
{NAMED.format("outer")}{NAMED.format("inner")}
[[span]]
length = "8 m"
[[segment]]
section = "outer"
to = "2 m"
[[segment]]
section = "inner"
to = "6 m"
[[segment]]
section = "outer"
[[support]]
at = ["start", "end"]
kind = "fork"
[[vehicle]]
name = "cart"
axles = [{{ force = "10 kN" }}]
lines = ["shear centre"]
[[combination]]
name = "use"
factors = {{ cart = 1.0 }}
[[limit]]
deflection = "40 mm"
"""
BOTH = "".join(
    f'[[parameter]]\nname = "{n}"\nsets = "section.{n}.shape.1.YDim"\nfrom = 60\nto = 300\n'
    for n in ("outer", "inner")
)


def test_two_sections_of_one_member_under_a_moving_load(tmp_path: Path) -> None:
    """With the cart at mid-span the deflection is P / (2 E) times the sum of k / I, k = a^3 / 3
    outside and 7 times it inside: the lightest heights go by the fourth root of k."""
    found = sized(tmp_path, BOTH, CARRIED, "")
    k = np.array([1.0, 7.0]) * 2000**3 / 3
    ratio = k ** (1 / 4)
    scale = (10e3 / (2 * 210e3) * (k / ratio**3).sum() * 12 / 60 / 40) ** (1 / 3)
    assert values(found) == pytest.approx(scale * ratio, rel=5e-3)
    assert found.found[0].weight == pytest.approx(7.85e-6 * 60 * (scale * ratio).mean(), rel=1e-3)
    assert found.found[0].depth == pytest.approx(scale * ratio[1], rel=5e-3)
    assert found.holding is not None
    assert [f for _, f in found.holding.limits] == pytest.approx([1 / 3], rel=0.03)


@pytest.mark.parametrize("most", [20_000, 10])
def test_numbers_of_the_member_file_as_lists(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    """The same by lists, of which every combination that is lighter than the answer was tried; or,
    where there are too many, those around the optimum over their ranges."""
    monkeypatch.setattr("soapfilm.solver.study.choice.assortment.MOST_LISTED", most)
    lists = BOTH.replace("from = 60\nto = 300", "values = [110, 130, 150, 170, 190]")
    found = sized(tmp_path, lists, CARRIED, "")
    outer, inner = values(found)
    k = np.array([1.0, 7.0]) * 2000**3 / 3
    heights = [110, 130, 150, 170, 190]
    fit = [
        (a + b, a, b)
        for a in heights
        for b in heights
        if 10e3 / (2 * 210e3) * 12 / 60 * (k[0] / a**3 + k[1] / b**3) <= 40
    ]
    assert (outer, inner) == min(fit)[1:]
    text = told(found)
    if most == 10:
        assert found.rounded is not None
        assert (found.rounded.total, found.rounded.near) == (25, 9)
        assert found.rounded.weight is not None
        assert found.rounded.weight < found.found[0].weight
        assert "The lists make 25 combinations, too many to try each" in text
    else:
        assert found.rounded is None
        assert "Everything lighter that could be chosen was tried" in text


def test_what_cannot_be_kept_and_how_near_it_comes(tmp_path: Path) -> None:
    """The deepest and broadest bar bends by twice the limit; a quantity that nothing follows from
    is told."""
    whole = 10e3 * 8000**3 / (48 * 210e3 * 120 * 100**3 / 12)
    found = sized(
        tmp_path,
        WIDTH + HEIGHT.replace("300", "100"),
        DOWN.replace("40 mm", f"{whole / 2} mm"),
    )
    assert not found.found
    assert found.closest is not None
    assert found.closest.used == pytest.approx(2, rel=0.01)
    text = told(found)
    assert "it uses 2.0" in text
    assert "At an end of its range: b (upper), h (upper). Widen it, or ease the limit." in text


def test_a_range_without_effect_is_told(tmp_path: Path) -> None:
    """A quantity that nothing follows from."""
    spare = '[[parameter]]\nname = "spare"\nsets = "quantity.spare"\nfrom = 1\nto = 2\n'
    found = sized(tmp_path, HEIGHT + spare, DOWN, HEAD, BAR + "[quantity]\nspare = 1\n")
    assert found.holding is not None
    assert found.holding.idle == ("spare",)
    text = told(found)
    assert "spare: changes neither the weight nor the use of any limit" in text


@pytest.mark.parametrize(
    ("head", "choice", "words"),
    [
        ('replaces = "inner"\n', BOTH, "replaces belongs to section"),
        ("", BOTH.replace("inner", "inmost"), "there is no 'inmost'; there are outer, inner"),
        ("", "", "nothing is to be chosen"),
        ("", BOTH.replace("from = 60\nto = 300", "from = 300\nto = 60"), "from must be below to"),
        ("", BOTH.replace("from = 60\nto = 300", "from = 60\nto = 60"), "from must be below to"),
    ],
)
def test_slips_in_numbers_of_the_member_file(
    tmp_path: Path, head: str, choice: str, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        sized(tmp_path, choice, CARRIED, head)


def test_functions_meet_values_and_slopes() -> None:
    rng = np.random.default_rng(2)
    places = rng.random((7, 3))

    def both(x: np.ndarray) -> np.ndarray:
        return np.stack([np.sin(2 * x[..., 0]) * x[..., 1] + x[..., 2] ** 2, x.sum(-1)], -1)

    def slopes(x: np.ndarray) -> np.ndarray:
        first = [2 * np.cos(2 * x[0]) * x[1], np.sin(2 * x[0]), 2 * x[2]]
        return np.array([first, [1.0, 1.0, 1.0]]).T

    given = {2: slopes(places[2]), 5: slopes(places[5])}
    through = Surrogate.through(places, both(places), given)
    assert through.values(places) == pytest.approx(both(places), abs=1e-12)
    for number, rates in given.items():
        assert through.slopes(places[number]) == pytest.approx(rates.T, abs=1e-11)
    at, step = np.array([0.3, 0.4, 0.5]), 1e-6
    moved = through.values(at + step * np.eye(3)) - through.values(at - step * np.eye(3))
    assert through.slopes(at) == pytest.approx(moved.T / (2 * step), abs=1e-8)
