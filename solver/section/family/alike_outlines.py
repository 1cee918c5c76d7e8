"""What outlines of one build have by themselves, without a mesh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.material import Material
from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import edge_lengths
from ....geometry.section import Section
from ..area.plastic import PlasticModuli, plastic_moduli_of
from ..area.properties import AreaProperties
from ..mesh.section_mesh import Array, Ints
from ..torsion.heap_rays import LEVELS, heap_volumes
from ..torsion.sand_heap import PlasticTorque, plastic_torque
from .areas import area_properties_of

#: Part of its area that the rays of a sand heap may leave open, for a volume good to 1e-4, and
#: edges from which on offsets are quicker.
_LEFT_OPEN, _MANY_EDGES = 3e-5, 40


@dataclass(frozen=True, slots=True, eq=False)
class AlikeOutlines:
    """Valid sections of one build and their outlines' properties."""

    sections: list[Section]
    edges: AlikeEdges
    areas: list[AreaProperties]
    perimeters: Array
    plastic_moduli: list[PlasticModuli]
    plastic_torques: list[PlasticTorque]

    @classmethod
    def of(
        cls, sections: Sequence[Section], edges: AlikeEdges, material: Material
    ) -> AlikeOutlines:
        """All that follows from k outlines' edges, filled with one material."""
        start, end = (part.reshape(-1, 2) for part in (edges.start, edges.end))
        lengths = edge_lengths(start, end, edges.bulges.ravel()).reshape(len(edges), -1)
        return cls(
            list(sections),
            edges,
            area_properties_of(edges, material),
            lengths.sum(axis=1),
            plastic_moduli_of(edges),
            _plastic_torques(sections, edges),
        )

    def __len__(self) -> int:
        return len(self.sections)

    def rows(self, which: Ints) -> AlikeOutlines:
        """Some of them."""
        some = which.tolist()
        return AlikeOutlines(
            [self.sections[k] for k in some],
            self.edges.rows(which),
            [self.areas[k] for k in some],
            self.perimeters[which],
            [self.plastic_moduli[k] for k in some],
            [self.plastic_torques[k] for k in some],
        )


def _plastic_torques(sections: Sequence[Section], edges: AlikeEdges) -> list[PlasticTorque]:
    """By rays, or one by one where these leave too much open."""
    if len(edges.after) > _MANY_EDGES:
        return [plastic_torque(section) for section in sections]
    volumes, open_ = heap_volumes(edges)
    some = np.flatnonzero(open_ > _LEFT_OPEN)
    if some.size:
        volumes[some], open_[some] = heap_volumes(edges.rows(some), LEVELS + 1)
    return [
        PlasticTorque(2 * float(volume)) if rest <= _LEFT_OPEN else plastic_torque(section)
        for section, volume, rest in zip(sections, volumes, open_, strict=True)
    ]
