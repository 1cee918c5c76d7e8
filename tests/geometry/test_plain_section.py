"""A section that is valid beyond doubt is what all rules find valid, with the same planar map."""

import numpy as np
import pytest
from soapfilm.geometry.checks.plain_section import plain_map
from soapfilm.geometry.checks.validate import RULES
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.planar.overlay import map_of, overlay
from soapfilm.geometry.section import Section, Slit


def star(chance, radius, at):
    n = int(chance.integers(3, 9))
    angle = np.sort(chance.uniform(0, 2 * np.pi, n))
    r = radius * chance.uniform(0.3, 1, n)
    bulges = chance.choice([0, 0, 0.2, -0.2, 0.5], n)
    return Contour(np.stack([r * np.cos(angle), r * np.sin(angle)], 1) + at, bulges)


def drawn(chance):
    """A star with holes that may lie in it, across it, beside it or in each other."""
    count = int(chance.integers(0, 4))
    holes = [
        star(chance, chance.uniform(0.05, 0.3), chance.uniform(-0.6, 0.6, 2)) for _ in range(count)
    ]
    return Section.single(star(chance, 1, [0, 0]), holes)


def test_is_valid_by_all_rules_and_has_the_same_map():
    chance = np.random.default_rng(7)
    plain = valid = 0
    for _ in range(300):
        section = drawn(chance)
        over = overlay(section)
        sound = not any(True for rule in RULES for _ in rule(over))
        found = plain_map(section)
        valid += sound
        if found is None:
            continue
        assert sound
        plain += 1
        full = map_of(over)
        for name in ("nodes", "edges", "bulges", "slit"):
            assert np.array_equal(getattr(found, name), getattr(full, name)), name
        for one, other in zip(found.faces[0], full.faces[0], strict=True):
            assert np.array_equal(one, other)
        assert not found.embedded[0].size
        assert not full.embedded[0].size
    assert 60 < plain <= valid
    assert plain > 0.7 * valid  # or it would save nothing


HOLE = Contour([[1, 1], [2, 1], [2, 2], [1, 2]])
SQUARE = [[0, 0], [4, 0], [4, 4], [0, 4]]
INSIDE = Contour([[1.2, 1.2], [1.8, 1.2], [1.8, 1.8]])


@pytest.mark.parametrize(
    "section",
    [
        Section.single(Contour(SQUARE), [Contour(HOLE.points + 6)]),
        Section.single(Contour(SQUARE), [HOLE, INSIDE]),
        Section.single(HOLE, [Contour(SQUARE)]),
        Section.single(Contour(SQUARE), [Contour(HOLE.points + np.array([2, 0.5]))]),
        Section.single(Contour(np.array(SQUARE) + 1e11)),
        Section((*Section.single(HOLE).regions, *Section.single(Contour(SQUARE)).regions)),
        Section(Section.single(Contour(SQUARE)).regions, slits=(Slit(((1, 1), (3, 3))),)),
    ],
    ids=["hole outside", "hole in hole", "hole around", "touching", "far away", "two", "slit"],
)
def test_what_is_not_beyond_doubt_is_left_to_the_rules(section):
    assert plain_map(section) is None
