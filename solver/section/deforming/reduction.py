"""From a section to its reduced form: check, mesh, solve, gather the basis."""

from __future__ import annotations

import numpy as np

from ....geometry.section import Section
from ....geometry.validate import checked_map
from ..triangulation import triangulate
from .chains import Chains, chains_of
from .elastic import elastic_of
from .fields import Fields, function_numbers
from .matrices import section_matrices
from .reduced import ReducedSection
from .slow import SlowModes, slow_modes
from .span import Columns, basis_of, linear_functions

#: Order of the shape functions.
ORDER = 5
#: Slow modes kept unless told otherwise.
MODES = 10


def reduced_section(section: Section, *, modes: int = MODES, order: int = ORDER) -> ReducedSection:
    """The reduced basis of a section: rigid motions, Saint-Venant's fields and the slowest modes.

    Parameters
    ----------
    section : Section
    modes : int
        Slow modes in the basis, a conjugate pair counted once. A mode that is left out dies out
        within 1 / `complete`: it matters within that distance of an end, a step or a load.
    order : int
        Of the shape functions.

    Raises
    ------
    GeometryError
        The section is not valid, or its parts are not connected; the message says where.
    """
    mesh = triangulate(checked_map(section))
    elastic = elastic_of(section, mesh.region)
    numbers, count = function_numbers(mesh, order)
    fields = Fields(mesh, order, numbers, np.zeros((count, 3, 0)))
    matrices = section_matrices(mesh, order, elastic)
    linear = linear_functions(fields)
    chains = chains_of(fields, matrices, elastic, linear)
    slow = slow_modes(matrices, chains, section.size() / 2, modes)
    kept = min(modes, len(slow.rate))
    basis = basis_of(fields, linear, columns_of(chains, slow, kept))
    complete = float(np.abs(slow.rate[kept:]).min(initial=slow.complete))
    return ReducedSection.of(fields, elastic, basis, slow.rate[:kept], complete, chains.omega)


def columns_of(chains: Chains, slow: SlowModes, modes: int) -> Columns:
    """Saint-Venant's fields and the first slow modes, real and imaginary parts apart."""
    u, z = slow.in_plane[..., :modes], slow.axial[..., :modes]
    pairs = np.arange(2 * modes)
    # real and imaginary parts next to each other
    parts_u = np.stack([u.real, u.imag], axis=-1).reshape(*u.shape[:2], -1)
    parts_z = np.stack([z.real, z.imag], axis=-1).reshape(len(z), -1)
    number = 1 + pairs // 2
    names = tuple(f"mode {k}, {part}" for k in number[::2] for part in ("real", "imaginary"))
    none = np.zeros(3, dtype=np.int64)
    mode = np.concatenate([none, number])
    return Columns(
        np.concatenate([chains.contraction, parts_u], axis=2),
        np.concatenate([chains.omega[:, None], chains.shear_warping, parts_z], axis=1),
        mode,
        mode,
        (
            "contraction, extension",
            "contraction, bending in x",
            "contraction, bending in y",
            *names,
        ),
        ("warping of torsion", "warping of shear in x", "warping of shear in y", *names),
    )

