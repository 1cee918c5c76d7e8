"""From sections to their reduced forms: check, mesh, solve, gather one basis for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.section import Section
from ..mesh.section_mesh import Array
from .chains import Chains, chains_of
from .elastic import Elastic, elastic_on
from .extension import extended
from .fields import Fields
from .linear import bare_fields
from .matrices import section_matrices
from .part import part_of
from .reduced import ReducedSection
from .response import curve_forces, point_forces, responses
from .slow import SlowModes, slow_modes
from .span import Columns, basis_of
from .union import Union, union_of

Point = tuple[float, float]

#: Slow modes kept unless told otherwise.
MODES = 10
#: Slow modes whose pull in a curve is followed.
CURVED_MODES = 2


def reduced_section(
    section: Section,
    *,
    modes: int = MODES,
    order: int | None = None,
    loads: Sequence[Point] = (),
    curved: bool = False,
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
    loads : sequence of (x, y)
        Points at which line loads act: what the section does under each is taken into the basis.
    curved : bool
        Whether the member is curved in plan: likewise for the pull of the curve.

    Raises
    ------
    GeometryError
        The section is not valid; the message says what is wrong and where.
    """
    return reduced_sections([section], modes=modes, order=order, loads=loads, curved=curved)[0]


def reduced_sections(
    sections: Sequence[Section],
    *,
    modes: int = MODES,
    order: int | None = None,
    loads: Sequence[Point] = (),
    curved: bool = False,
) -> tuple[ReducedSection, ...]:
    """Reduced forms of the sections of one member, in one common basis.

    Fields of each section are extended elastically into what the others have beyond it, so that
    a(z) may pass from one to the next without more ado: each integrates over its own material.

    Raises
    ------
    GeometryError
        A section is not valid, or shares no material with any other.
    """
    union = union_of(sections)
    mesh, order = union.mesh, order or union.order
    fields = bare_fields(mesh, order)
    count = len(fields.linear)
    acting = Acting(tuple(loads), curved)
    solved = [_solve_part(union, order, k, one, modes, acting) for k, one in enumerate(sections)]
    elastics = [elastic_on(sections, union.region, k) for k in range(len(sections))]
    columns = []
    for k, one in enumerate(solved):
        part = part_of(mesh, order, np.flatnonzero(union.solid(k)))
        own = columns_of(one.chains, one.slow, modes, one.response)
        both = np.zeros((count, 3, max(own.in_plane.shape[2], own.axial.shape[1])))
        both[part.functions, :2, : own.in_plane.shape[2]] = own.in_plane
        both[part.functions, 2, : own.axial.shape[1]] = own.axial
        columns.append(own.replaced(extended(mesh, order, part, elastics[k].everywhere(), both)))
    basis = basis_of([fields], Columns.merged(columns))
    out = []
    for k, one in enumerate(solved):
        omega = np.zeros(count)
        omega[part_of(mesh, order, np.flatnonzero(union.solid(k))).functions] = one.chains.omega
        rates = one.slow.rate
        complete = float(np.abs(rates[modes:]).min(initial=one.slow.complete))
        out.append(ReducedSection.of(fields, elastics[k], basis, 0, rates[:modes], complete, omega))
    return tuple(out)


@dataclass(frozen=True, slots=True, eq=False)
class Acting:
    """What acts all along the member: line loads at points, the pull of a curve in plan."""

    loads: tuple[Point, ...] = ()
    curved: bool = False


#: Nothing but what ends and single loads send along the member.
NOTHING = Acting()


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Saint-Venant's solutions, slow modes, and the shapes under what acts, of one section."""

    chains: Chains
    slow: SlowModes
    response: Array


def solve_modes(
    fields: Fields, elastic: Elastic, size: float, modes: int, acting: Acting = NOTHING
) -> Solved:
    """Saint-Venant's solutions and slow modes on a mesh; `size` is a length of the section."""
    matrices = section_matrices(fields, elastic)
    chains = chains_of(fields, matrices, elastic)
    slow = slow_modes(matrices, chains, size, modes)
    forces = point_forces(fields, acting.loads)
    if acting.curved:
        more = curve_forces(fields, elastic, chains, slow, CURVED_MODES)
        forces = np.concatenate([forces, more], axis=2)
    return Solved(chains, slow, responses(fields, matrices, chains, forces))


def _solve_part(
    union: Union, order: int, k: int, section: Section, modes: int, acting: Acting
) -> Solved:
    """One section on its part of the mesh."""
    some = np.flatnonzero(union.solid(k))
    part = part_of(union.mesh, order, some)
    elastic = elastic_on([section], union.region[k : k + 1], 0).of(some)
    return solve_modes(part.fields, elastic, section.size() / 2, modes, acting)


def columns_of(chains: Chains, slow: SlowModes, modes: int, response: Array) -> Columns:
    """Saint-Venant's fields, the shapes under what acts along the member, and the first slow modes,
    real and imaginary parts apart."""
    u, z = slow.in_plane[..., :modes], slow.axial[..., :modes]
    # real and imaginary parts next to each other
    parts_u = np.stack([u.real, u.imag], axis=-1).reshape(*u.shape[:2], -1)
    parts_z = np.stack([z.real, z.imag], axis=-1).reshape(len(z), -1)
    number = 1 + np.arange(parts_z.shape[1]) // 2
    names = tuple(f"mode {k}, {part}" for k in number[::2] for part in ("real", "imaginary"))
    none, acted = np.zeros(3, dtype=np.int64), response.shape[2]
    return Columns(
        np.concatenate([chains.contraction, response, parts_u], axis=2),
        np.concatenate([chains.omega[:, None], chains.shear_warping, parts_z], axis=1),
        np.concatenate([none, np.zeros(acted, dtype=np.int64), number]),
        np.concatenate([none, number]),
        (
            "contraction, extension",
            "contraction, bending in x",
            "contraction, bending in y",
            *(f"shape under load {k}" for k in range(1, acted + 1)),
            *names,
        ),
        ("warping of torsion", "warping of shear in x", "warping of shear in y", *names),
    )
