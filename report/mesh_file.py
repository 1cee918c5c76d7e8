"""Meshes with fields as files for viewers of finite-element results: VTU and XDMF, by meshio."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError
from .files import replacing

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
#: By their endings.
MESH_FORMATS = (".vtu", ".xdmf")


def mesh_suffix(path: str | os.PathLike[str]) -> str:
    """The ending, checked before the work.

    Raises
    ------
    InputError
        With the endings that there are.
    """
    suffix = Path(path).suffix.lower()
    if suffix not in MESH_FORMATS:
        raise InputError(f"cannot write {path}: the ending must be {' or '.join(MESH_FORMATS)}")
    return suffix


def write_mesh(
    path: str | os.PathLike[str],
    points: Array,
    cells: Sequence[tuple[str, Ints]],
    point_data: Mapping[str, Array],
    cell_data: Mapping[str, Sequence[Array]],
) -> None:
    """Write a mesh, whole or not at all; points (n, 2) are put into the plane z = 0.

    Parameters
    ----------
    path : path
        Ends in .vtu or .xdmf (whose numbers stand in the same file).
    points : (n, 2) or (n, 3)
    cells : sequence of (kind, (m, k) int)
        Kinds of meshio: "triangle", "wedge".
    point_data : mapping of names to (n,) or (n, d)
    cell_data : mapping of names to an array for each entry of `cells`
    """
    suffix = mesh_suffix(path)
    if suffix == ".xdmf":
        write_steps(path, points, cells, [(0.0, point_data)], cell_data)
        return
    import meshio

    mesh = meshio.Mesh(
        _in_space(points), list(cells), point_data=dict(point_data), cell_data=dict(cell_data)
    )
    with replacing(path) as temporary:
        meshio.write(temporary, mesh, file_format="vtu")


def write_steps(
    path: str | os.PathLike[str],
    points: Array,
    cells: Sequence[tuple[str, Ints]],
    steps: Iterable[tuple[float, Mapping[str, Array]]],
    cell_data: Mapping[str, Sequence[Array]] = MappingProxyType({}),
) -> None:
    """Write one mesh with fields at several times as XDMF, all numbers in the one file.

    meshio's writer of single meshes wants h5py even where no HDF5 is asked for; this one does not.

    Parameters
    ----------
    steps : iterable of (time, point data)
        Viewers run through them as time; stations of a member may stand for it.
    """
    from meshio.xdmf import TimeSeriesWriter

    with (
        replacing(path) as temporary,
        TimeSeriesWriter(str(temporary), data_format="XML") as writer,
    ):
        writer.write_points_cells(_in_space(points), list(cells))
        for time, data in steps:
            writer.write_data(time, point_data=dict(data), cell_data=dict(cell_data))


def _in_space(points: Array) -> Array:
    """(n, 3): points in a plane get z = 0."""
    if points.shape[1] == 3:
        return points
    return np.column_stack([points, np.zeros(len(points))])
