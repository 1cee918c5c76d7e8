"""How a member moves in a buckling mode: along its length, and by the sections' rule in words."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ...section.buckling.movement import Movement, Naming
from ...section.deforming.chains import chains_of
from ...section.deforming.elasticity.matrices import section_matrices
from ...section.deforming.elasticity.part import part_of
from ...section.deforming.reduced import ReducedSection
from .analysis import MemberMode, Prestressed

Array = NDArray[np.float64]

#: Places in every element.
PLACES = 12
#: A stretch between two changes of sign is a half-wave where it reaches this share of the largest.
SEEN = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class ModeMovement:
    """A mode along the member, of a largest motion of one.

    Attributes
    ----------
    z : (s,)
    across, up, twist, distortion : (s,)
        Of the shear centre; rotation about it; root mean square in-plane motion that is not rigid.
    at : float
        Where the section moves most in its plane.
    functions : (n,)
        a there.
    half_waves : int
    half_length : float
        Of the half-wave at `at`.
    movement : Movement
        What moves there.
    """

    z: Array
    across: Array
    up: Array
    twist: Array
    distortion: Array
    at: float
    functions: Array
    half_waves: int
    half_length: float
    movement: Movement

    @property
    def local(self) -> bool:
        """Whether sections buckle by themselves, their fold lines at rest or moving."""
        return self.movement.kind in ("local", "distortional")


class ModeNames:
    """The rule for sections, made ready once for each section of a member."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Naming, NDArray[np.intp]]] = {}

    def moved(
        self, section: ReducedSection, a: Array, half_length: float, normal: float
    ) -> Movement:
        """What moves in functions a (n,) of a straight section.

        Parameters
        ----------
        half_length : float
            Of the half-wave.
        normal : float
            Part of the normal force in what buckles it.
        """
        key = id(section)
        if key not in self._known:
            fields = section.fields
            solid = np.flatnonzero(section.elastic.solid)
            part = part_of(fields.mesh, fields.order, solid)
            elastic = section.elastic.of(solid)
            matrices = section_matrices(part.fields, elastic)
            chains = chains_of(part.fields, matrices, elastic)
            self._known[key] = Naming(part.fields, elastic, chains), part.functions
        naming, functions = self._known[key]
        wave = section.fields.coefficients[functions] @ a
        return naming.of(wave, np.pi / half_length, normal)


def mode_movement(state: Prestressed, mode: MemberMode, c: int, names: ModeNames) -> ModeMovement:
    """The movement of a mode of combination c."""
    course, nodes = state.frame.course, state.frame.nodes
    share = (np.arange(PLACES) + 0.5) / PLACES
    z = (nodes[:-1, None] + np.diff(nodes)[:, None] * share).ravel()
    _, a, _ = mode.field.at(z)
    a = a[..., 0]
    rows, beyond, size = np.zeros((len(z), 3)), np.zeros(len(z)), np.zeros(len(z))
    index = np.array([course.index(float(s)) for s in z])
    for k in np.unique(index):
        own = np.flatnonzero(index == k)
        part = course.parts[k]
        groups = [own] if part.tapered is None else [own[j : j + 1] for j in range(len(own))]
        for some in groups:
            planar = a[some] * part.straight.planar
            rigid = part.rigid(float(z[some[0]]))[:, [0, 1, 5]]
            rows[some] = planar @ np.linalg.pinv(rigid).T
            beyond[some] = np.linalg.norm(planar - rows[some] @ rigid.T, axis=1)
            size[some] = np.linalg.norm(planar, axis=1)
    worst = int(size.argmax())
    at = float(z[worst])
    rows, beyond = rows / size[worst], beyond / size[worst]
    member = state.frame.member
    centre = np.array([member.section_at(float(s)).shear_centre for s in z])
    across = rows[:, 0] - rows[:, 2] * centre[:, 1]
    up = rows[:, 1] + rows[:, 2] * centre[:, 0]
    functions = a[worst] / size[worst]
    planar = course.part(at).straight.planar
    signed = (a * planar) @ (functions * planar) / size[worst]
    count, length = _half_waves(z, signed, worst, member.length)
    movement = names.moved(_section(state, at), functions, length, _normal(state, at, c))
    return ModeMovement(z, across, up, rows[:, 2], beyond, at, functions, count, length, movement)


def _half_waves(z: Array, signed: Array, worst: int, length: float) -> tuple[int, float]:
    """How many there are, and how long the one at the largest motion is."""
    change = np.flatnonzero(np.sign(signed[1:]) != np.sign(signed[:-1]))
    cuts = np.concatenate([[0], change + 1, [len(z)]])
    peaks = [np.abs(signed[i:j]).max(initial=0.0) for i, j in pairwise(cuts)]
    k = int(np.searchsorted(cuts, worst, side="right")) - 1
    start = 0.0 if k == 0 else float(z[cuts[k] - 1] + z[cuts[k]]) / 2
    end = length if k == len(peaks) - 1 else float(z[cuts[k + 1] - 1] + z[cuts[k + 1]]) / 2
    return int((np.array(peaks) >= SEEN).sum()), end - start


def _section(state: Prestressed, z: float) -> ReducedSection:
    """The straight section whose shape stands for that at a station: of a taper, the nearer end."""
    part = state.frame.course.part(z)
    if part.taper is not None and float(part.taper.share(np.array(z))) > 0.5:
        return part.taper.last
    return part.straight


def _normal(state: Prestressed, z: float, c: int) -> float:
    """Part of the normal force in the largest axial stress of the actions at a station."""
    found = state.solution.resultants([z])
    s = state.frame.member.section_at(z)
    n, m_x, m_y = (abs(float(getattr(found, word)[0, c])) for word in ("N", "M_x", "M_y"))
    reach = np.sqrt(max(s.second_moment_x, s.second_moment_y) / s.area)
    both = m_x / s.second_moment_x + m_y / s.second_moment_y
    total = n / s.area + both * float(reach)
    return n / s.area / total if total > 0 else 0.0
