"""Stress that temperature and shrinkage leave in equilibrium within a section.

What the free plane of a strain leaves of it, sigma = E (plane - e), stands beside the stress of the
actions, of which what supports restrain is a part already (see `free_strain`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..beam.free_strain import section_strain
from ..model.imposed import Settlement, strain_field
from ..model.member import Member
from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]


def own_stresses(
    member: Member, section: SolvedSection, z: Array
) -> tuple[Array | None, Array | None]:
    """Normal stress (a, p) of every strain that does not leave the section plane, at the section's
    sampled points, and its factors (m, c, a) at stations z (m,); None and None without any."""
    search = section.search
    rows: list[Array] = []
    factors: list[Array] = []
    for action in member.imposed:
        if isinstance(action, Settlement) or search is None:
            continue
        on = (z >= action.start) & (z <= action.end)
        if not on.any():
            continue
        constants = section.constants
        field = strain_field(action, constants)
        if field.plane or constants.outline is None:
            continue
        points = search.stations.points
        flat = points.reshape(-1, 2)
        region = np.repeat(search.units.field.mesh.region, points.shape[1])
        moduli = np.array([r.material.elastic_modulus for r in constants.outline.regions])
        plane = section_strain(field, constants).at(flat, constants.centroid)
        rows.append(moduli[region] * (plane - field.factors[region] * field.shape(*flat.T)))
        shares = [c.factors.get(action.case, 0.0) for c in member.combined]
        factors.append(np.outer(on.astype(float), shares))
    if not rows:
        return None, None
    return np.array(rows), np.stack(factors, axis=2)
