"""From sections to their reduced forms: check, mesh, solve, gather one basis for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.section import Section
from .chains import Chains, chains_of
from .elasticity.elastic import Elastic, elastic_on
from .elasticity.fields import Fields
from .elasticity.linear import bare_fields
from .elasticity.matrices import section_matrices
from .elasticity.part import part_of
from .extension import extended
from .recent import recent
from .reduced import ReducedSection
from .response import Acting, Responses, responses_to
from .slow import SlowModes, slow_modes
from .span import Columns, basis_of
from .union import Union, union_of

#: Nothing but what ends and supports send along the member.
NOTHING = Acting()
#: Slow modes kept unless told otherwise.
MODES = 10


def reduced_section(
    section: Section,
    *,
    modes: int = MODES,
    order: int | None = None,
    acting: Acting = NOTHING,
) -> ReducedSection:
    """The reduced basis of a section: rigid motions, Saint-Venant's fields and the slowest modes.

    Parameters
    ----------
    section : Section
    modes : int
        Slow modes in the basis, a conjugate pair counted once. A mode that is left out dies out
        within 1 / `complete`: it matters within that distance of an end, a step or a load.
    order : int, optional
        Of the shape functions.
    acting : Acting
        Loads and curvature: how the section answers them is taken into the basis.

    Raises
    ------
    GeometryError
        The section is not valid; the message says what is wrong and where.
    """
    return reduced_sections([section], modes=modes, order=order, acting=acting)[0]


def reduced_sections(
    sections: Sequence[Section],
    *,
    modes: int = MODES,
    order: int | None = None,
    acting: Acting = NOTHING,
) -> tuple[ReducedSection, ...]:
    """Reduced forms of the sections of one member, in one common basis.

    Fields of each section are extended elastically into what the others have beyond it, so that
    a(z) may pass from one to the next without more ado: each integrates over its own material.

    Raises
    ------
    GeometryError
        A section is not valid, or shares no material with any other.
    """
    return recent(
        "one basis", sections, (modes, order, acting),
        lambda: _reduced_sections(sections, modes, order, acting),
    )  # fmt: skip


def _reduced_sections(
    sections: Sequence[Section], modes: int, order: int | None, acting: Acting
) -> tuple[ReducedSection, ...]:
    union = union_of(sections)
    mesh, order = union.mesh, order or union.order
    fields = bare_fields(mesh, order)
    count = len(fields.linear)
    solved = [_solve_part(union, order, k, one, modes, acting) for k, one in enumerate(sections)]
    elastics = [elastic_on(sections, union.region, k) for k in range(len(sections))]
    columns = []
    for k, one in enumerate(solved):
        part = part_of(mesh, order, np.flatnonzero(union.solid(k)))
        own = columns_of(one, modes)
        both = np.zeros((count, 3, max(own.in_plane.shape[2], own.axial.shape[1])))
        both[part.functions, :2, : own.in_plane.shape[2]] = own.in_plane
        both[part.functions, 2, : own.axial.shape[1]] = own.axial
        columns.append(own.replaced(extended(mesh, order, part, elastics[k].everywhere(), both)))
    basis = basis_of([fields], columns)
    out = []
    for k, one in enumerate(solved):
        omega = np.zeros(count)
        omega[part_of(mesh, order, np.flatnonzero(union.solid(k))).functions] = one.chains.omega
        reduced = ReducedSection.of(
            fields, elastics[k], basis, one.slow, modes, omega, part=k, notes=union.notes
        )
        out.append(reduced)
    return tuple(out)


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Saint-Venant's solutions, slow modes, and the shapes under what acts, of one section."""

    chains: Chains
    slow: SlowModes
    response: Responses


def solve_modes(
    fields: Fields, elastic: Elastic, size: float, modes: int, acting: Acting = NOTHING
) -> Solved:
    """Saint-Venant's solutions and slow modes on a mesh; `size` is a length of the section."""
    matrices = section_matrices(fields, elastic)
    chains = chains_of(fields, matrices, elastic)
    slow = slow_modes(matrices, chains, size, modes)
    answers = responses_to(acting, fields, matrices, elastic, chains, slow, size)
    return Solved(chains, slow, answers)


def _solve_part(
    union: Union, order: int, k: int, section: Section, modes: int, acting: Acting
) -> Solved:
    """One section on its part of the mesh."""
    some = np.flatnonzero(union.solid(k))
    part = part_of(union.mesh, order, some)
    elastic = elastic_on([section], union.region[k : k + 1], 0).of(some)
    return solve_modes(part.fields, elastic, section.size() / 2, modes, acting)


def columns_of(solved: Solved, modes: int) -> Columns:
    """Saint-Venant's fields, the shapes under what acts along the member, and the first slow modes,
    real and imaginary parts apart."""
    chains, slow = solved.chains, solved.slow
    response, warping = solved.response.in_plane, solved.response.axial
    u, z = slow.in_plane[..., :modes], slow.axial[..., :modes]
    # real and imaginary parts next to each other
    parts_u = np.stack([u.real, u.imag], axis=-1).reshape(*u.shape[:2], -1)
    parts_z = np.stack([z.real, z.imag], axis=-1).reshape(len(z), -1)
    number = 1 + np.arange(parts_z.shape[1]) // 2
    names = tuple(f"mode {k}, {part}" for k in number[::2] for part in ("real", "imaginary"))
    acted, warped = response.shape[2], warping.shape[1]
    return Columns(
        np.concatenate([chains.contraction, response, parts_u], axis=2),
        np.concatenate([chains.omega[:, None], chains.shear_warping, warping, parts_z], axis=1),
        np.concatenate([np.zeros(3 + acted, dtype=np.int64), number]),
        np.concatenate([np.zeros(3 + warped, dtype=np.int64), number]),
        (
            "contraction, extension",
            "contraction, bending in x",
            "contraction, bending in y",
            *(f"shape under load {k}" for k in range(1, acted + 1)),
            *names,
        ),
        (
            "warping of torsion",
            "warping of shear in x",
            "warping of shear in y",
            *(f"warping under load {k}" for k in range(1, warped + 1)),
            *names,
        ),
    )
