"""A member's deformed solid, and its sections station by station, as files for viewers."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...solver.member.deforming.surface import mises_squared
from ..files import check_writable
from ..mesh_file import mesh_suffix, write_mesh, write_steps
from .extremes import telling_combination
from .solid_fields import STRESSES, SolidPiece, solid_pieces
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
#: Along the member, when nothing else is asked for.
STATIONS = 40


def write_solid(
    assessment: Assessment,
    path: str | os.PathLike[str],
    combination: int | None = None,
    stations: int = STATIONS,
    scale: float = 0.0,
) -> None:
    """Write the member as wedges in space, with displacement and stress.

    Parameters
    ----------
    assessment : Assessment
    path : path
        Ends in .vtu or .xdmf.
    combination : int, optional
        Left out: that of the figure.
    stations : int
    scale : float
        Points stand where the member is moved by so many times its displacement; at 0 viewers
        move them by the field.

    Raises
    ------
    InputError
        As `solid_pieces`, or for a path that cannot be written.
    """
    mesh_suffix(path)
    check_writable(path)
    chosen = telling_combination(assessment) if combination is None else combination
    points, wedges, number, count = [], [], [], 0
    data: dict[str, list[Array]] = {}
    for n, piece in enumerate(solid_pieces(assessment, chosen, stations), 1):
        s, k, _ = piece.displacement.shape
        place, moved = _in_space(assessment, piece)
        points.append((place + scale * moved).reshape(-1, 3))
        # the base's normal points away from the other triangle, as VTK has wedges
        base = piece.triangles[:, [0, 2, 1]] + count
        each = base + k * np.arange(s - 1)[:, None, None]
        wedges.append(np.concatenate([each, each + k], axis=2).reshape(-1, 6))
        number.append(np.full(len(wedges[-1]), float(n)))
        count += s * k
        for name, values in _named(assessment, piece).items():
            data.setdefault(name, []).append(values.reshape(s * k, *values.shape[2:]))
        unit = assessment.request.units.length
        data.setdefault(f"displacement ({unit})", []).append(moved.reshape(-1, 3))
    write_mesh(
        path,
        np.concatenate(points),
        [("wedge", np.concatenate(wedges))],
        {name: np.concatenate(parts) for name, parts in data.items()},
        {"piece": [np.concatenate(number)]},
    )


def write_station_series(
    assessment: Assessment,
    path: str | os.PathLike[str],
    combination: int | None = None,
    stations: int = STATIONS,
) -> None:
    """Write the section at one station after the other: its station stands for time.

    Raises
    ------
    InputError
        Where the section changes along the member, or the path does not end in .xdmf.
    """
    if mesh_suffix(path) != ".xdmf":
        raise InputError(f"cannot write {path}: stations as times need the ending .xdmf")
    check_writable(path)
    chosen = telling_combination(assessment) if combination is None else combination
    pieces = solid_pieces(assessment, chosen, stations)
    first = pieces[0]
    for piece in pieces:
        if piece.points.shape[1:] != first.points.shape[1:] or np.ptp(piece.points, axis=0).any():
            raise InputError(
                "the section changes along the member, and one mesh cannot show it at all times; "
                "write the solid instead: to_vtu"
            )
    units = MemberUnits(assessment.request.units)
    along, unit = units.factor("along"), assessment.request.units.length
    steps = []
    for piece in pieces:
        named = _named(assessment, piece) | {f"displacement ({unit})": piece.displacement}
        for k, z in enumerate(piece.z):
            steps.append((float(z) * along, {name: v[k] for name, v in named.items()}))
    write_steps(path, first.points[0], [("triangle", first.triangles)], steps)


def _named(assessment: Assessment, piece: SolidPiece) -> dict[str, Array]:
    """Stresses (s, k) and stations under names with units."""
    units = MemberUnits(assessment.request.units)
    label, factor = units.plain("stress"), units.factor("stress")
    six = np.moveaxis(piece.stress, 2, 0) * factor
    found = {f"von Mises stress ({label})": np.sqrt(mises_squared(six))}
    found |= {f"stress {word} ({label})": six[k] for k, word in enumerate(STRESSES)}
    z = np.broadcast_to(piece.z[:, None] * units.factor("along"), piece.stress.shape[:2])
    return found | {f"station ({units.plain('along')})": z}


def _in_space(assessment: Assessment, piece: SolidPiece) -> tuple[Array, Array]:
    """(s, k, 3) each: places and displacements in the axes of the plan, Z along the start, X to
    the right of one who looks back along it, Y up."""
    member = assessment.solution.mesh.member
    across, along, heading = member.axis.plan(piece.z)
    cos, sin = np.cos(heading)[:, None], np.sin(heading)[:, None]
    local = piece.points - np.asarray(member.line)
    x, y = local[..., 0], local[..., 1]
    place = np.stack([across[:, None] + cos * x, y, along[:, None] - sin * x], axis=2)
    u, v, w = np.moveaxis(piece.displacement, 2, 0)
    return place, np.stack([cos * u + sin * w, v, cos * w - sin * u], axis=2)
