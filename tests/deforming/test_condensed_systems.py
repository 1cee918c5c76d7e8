"""Systems of one mesh that share where entries stand, beside such as are factored alone."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.by_name import l_shape
from soapfilm.solver.section.deforming.elasticity.condensed import (
    CondensedSystems,
    condensed_system,
)
from soapfilm.solver.section.deforming.elasticity.matrices import SectionMatrices, section_matrices
from soapfilm.solver.section.deforming.reduction import reduced_section
from soapfilm.solver.section.deforming.response import wave_responses

Array = NDArray[np.float64]


@pytest.fixture(scope="module")
def matrices() -> SectionMatrices:
    shape = l_shape(depth=100, width=80, thickness=10)
    section = shape.section(material=Material("steel", 210e3, 0.3), unit="mm")
    found = reduced_section(section, modes=2, order=4)
    return section_matrices(found.fields, found.elastic)


def alone(m: SectionMatrices, k: float, load: Array) -> Array:
    return condensed_system(m.numbers, m.count, m.outer, m.wave(k)).solve(load)


def test_a_system_answers_as_if_it_were_the_first(matrices: SectionMatrices) -> None:
    m = matrices
    load = np.random.default_rng(5).standard_normal((m.count, 3, 2))
    systems = CondensedSystems(m.numbers, m.count, m.outer)
    for k in (0.1, 0.02, 0.5, 0.1):
        found = systems.factored(m.wave(k)).solve(load)
        expected = alone(m, k, load)
        assert found == pytest.approx(expected, rel=1e-8, abs=1e-10 * np.abs(expected).max())


def test_waves_of_one_length_are_answered_together_and_in_their_order(
    matrices: SectionMatrices,
) -> None:
    m = matrices
    forces = np.random.default_rng(6).standard_normal((3, m.count, 3, 1))
    waves = [(0.1, forces[0]), (0.3, np.concatenate(forces[:2], axis=2)), (0.1, forces[2])]
    for (k, force), found in zip(waves, wave_responses(m, waves), strict=True):
        expected = alone(m, k, force)
        expected /= np.sqrt((expected**2).sum(axis=(0, 1)))
        assert found.shape == force.shape
        assert found == pytest.approx(expected, abs=1e-9)
