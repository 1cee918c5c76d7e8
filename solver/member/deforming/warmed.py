"""What keeps a section's shape takes part in imposed strains: a plate at a support and a diaphragm
warm, or shrink, with the member.

Otherwise they would press the section back to the shape it was built with, and stress it beside
them by E times the strain. A fixed end, which holds everything, and the plates of a hinge stay as
built.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .brace import Brace
from .holds import Holds
from .strained import ImposedStrains

Array = NDArray[np.float64]


def warmed(
    holds: Holds,
    braces: tuple[tuple[int, Brace], ...],
    strained: ImposedStrains,
    nodes: Array,
    given: Array,
) -> tuple[Array, Array]:
    """Motions and forces by which shapes that are held follow the imposed strains.

    Parameters
    ----------
    holds : Holds
    braces : tuple of (node, Brace)
    strained : ImposedStrains
    nodes : (k,)
    given : (k, n, c)
        Motions of supports at their nodes.

    Returns
    -------
    motion : (k, n, c)
        These and what follows the strains, in the part of rigid holds.
    force : (k, n, c)
        On nodes, of diaphragms that give.
    """
    motion, force = np.array(given), np.zeros_like(given)
    if not strained.actions:
        return motion, force
    _, n, c = given.shape
    rigid = {node: [rows] for node, rows in holds.shapes.items()}
    for node, brace in braces:
        growth = strained.growth(float(nodes[node]), c)
        if brace.stiffness is None:
            rigid.setdefault(node, []).append(brace.rows)
        else:
            force[node] += brace.energy @ growth
    for node, parts in rigid.items():
        shape, fixed = np.vstack(parts), holds.fixed.get(node, np.zeros((0, n)))
        if len(fixed) == n:  # everything is held already
            continue
        growth = strained.growth(float(nodes[node]), c)
        rows = np.vstack([fixed, shape])
        wanted = np.vstack([np.zeros((len(fixed), c)), shape @ growth])
        motion[node] += np.linalg.lstsq(rows, wanted, rcond=None)[0]
    return motion, force
