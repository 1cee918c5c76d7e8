"""Effective section of a class 4 section: a code's rule beside elastic theory.

Effective widths are found wall by wall (see `wall_reduction`), in the form of EN 1993-1-5 4.4, from
memory: check the code.

Compression: the stress is uniform and no iteration is needed. Bending: the parts that drop out
move the neutral axis and with it psi, so the widths are found anew until they stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError, SolveError
from ....geometry.section import Section
from ..area.properties import AreaProperties, area_properties
from ..mesh.section_mesh import Array
from ..stress.actions import Actions
from .plate_elements import PlateElement, plate_elements
from .result import BucklingMode, SectionBuckling
from .wall_reduction import EffectiveWall, reduced

#: Change of widths, relative to the wall's, at which the iteration ends, and its most steps.
_SETTLED, _STEPS = 1e-6, 200


@dataclass(frozen=True, slots=True, eq=False)
class EffectiveSection:
    """The section without the parts that buckle.

    Attributes
    ----------
    walls : tuple of EffectiveWall
    strength : float
        f_y.
    mode : BucklingMode
        The local buckling that it is taken from.
    critical_stress : float
        Of the whole section, where its compression is largest.
    area : float
    centroid : (2,)
    shift : (2,)
        Of the centroid from that of the gross section.
    moments : (3,)
        I_x, I_y and I_xy about the effective centroid.
    gross : AreaProperties
    modulus : float or None
        Moment at which the largest compressive stress is f_y, over f_y; bending alone.
    tension_modulus : float or None
        The same for the largest tensile stress.
    steps : int
        Of the iteration.
    """

    walls: tuple[EffectiveWall, ...]
    strength: float
    mode: BucklingMode
    critical_stress: float
    area: float
    centroid: Array
    shift: Array
    moments: Array
    gross: AreaProperties
    modulus: float | None
    tension_modulus: float | None
    steps: int


def effective_section(buckling: SectionBuckling, strength: float) -> EffectiveSection:
    """The effective section under the actions of a solved curve.

    Raises
    ------
    InputError
        For actions other than compression alone or moments alone, sections without flat walls or
        without local buckling in the curve.
    SolveError
        The iteration does not settle.
    """
    elements = checked_walls(buckling.section, buckling.actions)
    vector = buckling.vector
    bent = bool(vector[1:3].any())
    local = [mode for mode in buckling.minima if mode.movement.kind == "local"]
    if not local:
        raise InputError(
            "the curve has no minimum of local buckling, so no part of a wall drops out: the whole "
            "section is effective as far as local buckling goes"
        )
    mode = min(local, key=lambda one: one.factor)
    compression, material = buckling.compression, buckling.section.regions[0].material
    euler = np.pi**2 * material.elastic_modulus / (12 * (1 - material.poisson_ratio**2))
    gross = area_properties(buckling.section)
    walls: list[EffectiveWall] = []
    lost = np.full(len(elements), -1.0)
    state = _without(gross, [])
    for step in range(1, _STEPS + 1):
        largest = _largest(buckling, state)
        walls = [
            reduced(
                e,
                _compression(state, vector, e) / largest,
                mode.factor * compression,
                strength,
                euler,
            )
            for e in elements
        ]
        now = np.array([w.effective_width / w.element.width for w in walls])
        state = _without(gross, walls)
        if not bent or np.abs(now - lost).max() < _SETTLED:
            return _collected(buckling, walls, strength, mode, gross, state, step)
        lost = now
    raise SolveError(
        f"the effective widths do not settle in {_STEPS} steps; judge the section by hand"
    )


def checked_walls(section: Section, actions: Actions) -> list[PlateElement]:
    """The flat walls of a section, if its effective section can be asked for.

    Raises
    ------
    InputError
        For other actions than compression alone or moments alone, or no flat walls.
    """
    bent = bool(actions.moment_x or actions.moment_y)
    others = (actions.shear_x, actions.shear_y, actions.torque, actions.warping_torque)
    if any(others) or actions.bimoment or bent == bool(actions.axial_force):
        raise InputError(
            "--effective takes compression alone or bending alone (N, or M_x and M_y), as the code "
            "finds A_eff and W_eff apart; ask for each"
        )
    return plate_elements(section)


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """Area, centroid, and second moments about it as ((int xx, int xy), (int xy, int yy))."""

    area: float
    centroid: Array
    second: Array


def _without(gross: AreaProperties, walls: Sequence[EffectiveWall]) -> _State:
    """Gross properties less the rectangles that drop out."""
    m = gross.second_moments
    area, centre = gross.gross_area, gross.centroid
    first = area * centre
    second = np.array([[m.y, m.xy], [m.xy, m.x]]) + area * np.outer(centre, centre)
    for wall in walls:
        if wall.lost is None:
            continue
        a, b = (wall.element.at(s) for s in wall.lost)
        width, t = wall.lost[1] - wall.lost[0], wall.element.thickness
        along = (b - a) / width
        across = np.array([-along[1], along[0]])
        middle, piece = (a + b) / 2, width * t
        own = width**2 / 12 * np.outer(along, along) + t**2 / 12 * np.outer(across, across)
        area -= piece
        first = first - piece * middle
        second = second - piece * (own + np.outer(middle, middle))
    centroid = first / area
    return _State(area, centroid, second - area * np.outer(centroid, centroid))


def _stress(state: _State, vector: Array, points: Array) -> Array:
    """Compressive stress at points (k, 2); compression alone is uniform."""
    if vector[0]:
        return np.full(len(points), -vector[0] / state.area)
    slopes = np.linalg.solve(state.second, [-vector[2], vector[1]])
    return np.asarray(-(points - state.centroid) @ slopes)


def _compression(state: _State, vector: Array, element: PlateElement) -> Array:
    """Compressive stress at a wall's start and end."""
    return _stress(state, vector, np.array([element.start, element.end]))


def _largest(buckling: SectionBuckling, state: _State) -> float:
    """Largest compressive stress of the outline."""
    points = np.concatenate([c.points for c in buckling.section.contours()])
    return float(_stress(state, buckling.vector, points).max())


def _collected(
    buckling: SectionBuckling,
    walls: Sequence[EffectiveWall],
    strength: float,
    mode: BucklingMode,
    gross: AreaProperties,
    state: _State,
    steps: int,
) -> EffectiveSection:
    moduli: list[float | None] = [None, None]
    if buckling.vector[1:3].any():
        points = np.concatenate([c.points for c in buckling.section.contours()])
        stress = _stress(state, buckling.vector, points)
        moment = float(np.hypot(*buckling.vector[1:3]))
        moduli = [moment / float(stress.max()), moment / float(-stress.min())]
    second = state.second
    return EffectiveSection(
        tuple(walls), strength, mode, buckling.stress(mode), state.area,
        state.centroid, state.centroid - gross.centroid,
        np.array([second[1, 1], second[0, 0], second[0, 1]]), gross, moduli[0], moduli[1], steps,
    )  # fmt: skip
