"""From sections to their reduced forms: check, mesh, solve, gather one basis for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.section import Section
from ..mesh.section_mesh import SectionMesh
from .acting import Acting
from .chains import Chains, chains_of
from .common_mesh import Pairs, common_mesh
from .elasticity.elastic import Elastic, elastic_on
from .elasticity.fields import Fields, function_numbers
from .elasticity.linear import bare_fields
from .elasticity.matrices import section_matrices
from .elasticity.part import Part, part_of
from .extension import extended
from .family import Flags
from .recent import Lately, content_of, recent
from .reduced import ReducedSection
from .response import Responses, responses_to
from .slow import SlowModes, slow_modes
from .span import Columns, basis_of

#: Nothing but what ends and supports send along the member.
NOTHING = Acting()
#: Slow modes kept unless told otherwise.
MODES = 10

#: Slow modes of the last few questions: whatever acts they are the same, and while loads move or
#: remedies are tried one member is asked about again and again.
_SLOW: Lately[dict[int, SlowModes]] = Lately(3)


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
    tapers: Pairs = (),
    steps: Pairs = (),
    modes: int = MODES,
    order: int | None = None,
    acting: Acting | Sequence[Acting] = NOTHING,
) -> tuple[ReducedSection, ...]:
    """Reduced forms of the sections of one member, in one common basis.

    Fields of each section are extended elastically into what the others have beyond it, so that
    a(z) may pass from one to the next without more ado: each integrates over its own material.
    Fields of a section that tapers move with it; the section halfway to the other end has its own.

    Parameters
    ----------
    tapers, steps : sequence of (int, int)
        Which sections the member changes between, gradually or at once.
    acting : Acting, or one for each section and each taper
        What acts on each section, and between the ends of each taper.

    Raises
    ------
    GeometryError
        A section is not valid, shares no material with any other, or does not match what it tapers
        into.
    """
    if isinstance(acting, Acting):
        acting = [acting] * (len(sections) + len(tapers))
    options = tuple(tapers), tuple(steps), modes, order, tuple(acting)
    return recent("one basis", sections, options, lambda: _reduced_sections(sections, *options))


def _reduced_sections(
    sections: Sequence[Section],
    tapers: Pairs,
    steps: Pairs,
    modes: int,
    order: int | None,
    acting: Sequence[Acting],
) -> tuple[ReducedSection, ...]:
    common = common_mesh(sections, tapers, steps)
    order = order or common.order
    question = tuple(content_of(s) for s in sections), tuple(tapers), tuple(steps), modes, order
    slow = _SLOW.answer(question, dict)
    places = list({id(mesh): mesh for mesh in (common.base, *common.meshes)}.values())
    bare = [bare_fields(mesh, order) for mesh in places]
    place = [next(n for n, mesh in enumerate(places) if mesh is own) for own in common.meshes]
    elastics = [elastic_on(sections, common.region, k) for k in range(len(sections))]
    asked: list[tuple[int, SectionMesh, int | None]]
    asked = [(k, mesh, None) for k, mesh in enumerate(common.meshes)]
    asked += [(i, _halfway(common.meshes[i], common.meshes[j]), j) for i, j in tapers]
    solved, columns = [], []
    for number, ((k, mesh, end), acts) in enumerate(zip(asked, acting, strict=True)):
        part = _part(mesh, order, common.solid(k))
        moving = None
        if end is not None:
            far = _part(common.meshes[end], order, common.solid(k))
            moving = replace(part.fields, toward=far.fields, rate=1.0)
        size = sections[k].size() / 2
        elastic = elastic_on(sections[k : k + 1], common.region[k : k + 1], 0)
        own = elastic.of(part.triangles)
        one = solve_modes(part.fields, own, size, modes, acts, moving, slow.get(number))
        slow[number] = one.slow
        solved.append((one, part))
        columns.append(_extended(columns_of(one, modes), mesh, order, part, elastics[k]))
    basis = basis_of(bare, columns)
    out = []
    for k, (one, part) in enumerate(solved[: len(sections)]):
        omega = part.spread(one.chains.omega, len(bare[0].linear))
        reduced = ReducedSection.of(
            bare[place[k]], elastics[k], basis, one.slow, modes, omega,
            place=place[k], part=k, notes=common.notes,
        )  # fmt: skip
        out.append(reduced)
    return tuple(out)


def _halfway(a: SectionMesh, b: SectionMesh) -> SectionMesh:
    return replace(a, vertices=(a.vertices + b.vertices) / 2, bulges=(a.bulges + b.bulges) / 2)


def _part(mesh: SectionMesh, order: int, solid: Flags) -> Part:
    if not solid.all():
        return part_of(mesh, order, np.flatnonzero(solid))
    fields = bare_fields(mesh, order)
    return Part(mesh, fields, np.arange(len(solid)), np.arange(len(fields.linear)))


def _extended(own: Columns, mesh: SectionMesh, order: int, part: Part, elastic: Elastic) -> Columns:
    """A section's columns over the whole mesh."""
    if len(part.triangles) == len(mesh.triangles):
        return own
    count = function_numbers(mesh, order)[1]
    both = np.zeros((count, 3, max(own.in_plane.shape[2], own.axial.shape[1])))
    both[part.functions, :2, : own.in_plane.shape[2]] = own.in_plane
    both[part.functions, 2, : own.axial.shape[1]] = own.axial
    return own.replaced(extended(mesh, order, part, elastic.everywhere(), both))


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Saint-Venant's solutions, slow modes, and the shapes under what acts, of one section."""

    chains: Chains
    slow: SlowModes
    response: Responses


def solve_modes(
    fields: Fields,
    elastic: Elastic,
    size: float,
    modes: int,
    acting: Acting = NOTHING,
    moving: Fields | None = None,
    slow: SlowModes | None = None,
) -> Solved:
    """Saint-Venant's solutions and slow modes on a mesh; `size` is a length of the section,
    `moving` as in `responses_to`, `slow` the modes where they are known."""
    matrices = section_matrices(fields, elastic)
    chains = chains_of(fields, matrices, elastic)
    slow = slow or slow_modes(matrices, chains, size, modes)
    answers = responses_to(acting, fields, matrices, elastic, chains, slow, size, modes, moving)
    return Solved(chains, slow, answers)


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
