"""Meshes with fields as files for viewers of finite-element results: VTU and XDMF, by meshio."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

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
    import meshio

    suffix = mesh_suffix(path)
    if points.shape[1] == 2:
        points = np.column_stack([points, np.zeros(len(points))])
    mesh = meshio.Mesh(points, list(cells), point_data=dict(point_data), cell_data=dict(cell_data))
    with replacing(path) as temporary:
        if suffix == ".vtu":
            meshio.write(temporary, mesh, file_format="vtu")
        else:
            meshio.write(temporary, mesh, file_format="xdmf", data_format="XML")
