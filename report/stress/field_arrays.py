"""The fields of a section as arrays: on a fine sub-triangulation, and at any point.

Points on the borders of elements appear once an element: stress may jump there, and between
materials it does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError
from ...geometry.notebook_table import notebook_grid
from ...solver.section.elements.integrals import TrianglePoints, stations_at
from ...solver.section.mesh.location import locate
from ...solver.section.torsion.peak import left_out
from ..drawing.field_view import mean_wall
from ..drawing.sampling import patches, turned

if TYPE_CHECKING:
    from ...solver.section.stress.unit_stress import UnitStress

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
#: Samples through the mean wall when nothing else is asked for.
THROUGH_WALL = 10.0


@dataclass(frozen=True, slots=True, eq=False)
class SectionFields:
    """Fields at n points of a section, in powers of its length unit.

    Attributes
    ----------
    points : (n, 2)
        In the axes of the input.
    triangles : (m, 3) int
        Small triangles between them, counter-clockwise; empty where single points were asked for.
    element, region : (n,) int
        Triangle of the mesh and region (from 0) that each point belongs to.
    stress_function : (n,)
        phi per unit torque, 1/length^2; 0 on the outer contour.
    warping : (n,)
        omega about the shear centre, length^2: displacement along z by rate of twist.
    sigma : (8, n)
        Normal stress of each unit action N, M_x, M_y, V_x, V_y, T, T_w, B.
    tau : (8, n, 2)
        Shear stress tau_zx, tau_zy of the same.
    near_corner : (n,) bool
        Within the surroundings of a sharp corner, where shear has no bound.
    """

    points: Array
    triangles: Ints
    element: Ints
    region: Ints
    stress_function: Array
    warping: Array
    sigma: Array
    tau: Array
    near_corner: NDArray[np.bool_]

    def combined(self, actions: ArrayLike) -> tuple[Array, Array]:
        """Normal stress (n,) and shear stress (n, 2) of an (8,) vector of actions."""
        vector = np.asarray(actions, float)
        return vector @ self.sigma, np.tensordot(vector, self.tau, 1)

    def __repr__(self) -> str:
        return (
            f"SectionFields: {len(self.points)} points, {len(self.triangles)} triangles; stress "
            "function, warping, normal and shear stress of 8 unit actions"
        )

    def _repr_html_(self) -> str:
        rows = [(name, str(getattr(self, name).shape)) for name in self.__slots__]
        return notebook_grid("fields of a section", ("array", "shape"), rows)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: every array as a list."""
        arrays = {name: getattr(self, name).tolist() for name in self.__slots__}
        return {"format": "soapfilm section fields 1", **arrays}


def sampled_fields(units: UnitStress, through_wall: float = THROUGH_WALL) -> SectionFields:
    """The fields of a whole section, about so many samples through its mean wall.

    Raises
    ------
    InputError
        If that is not a number above 0.
    """
    if not 0 < through_wall <= 1000:
        raise InputError(f"samples through the wall lie above 0, at most 1000, got {through_wall}")
    field, section = units.field, units.result.section
    parts, cells, count = [], [], 0
    for patch in patches(field.mesh, field.order, mean_wall(section) / through_wall):
        n, q, _ = patch.stations.points.shape
        cells.append((patch.cells + count + q * np.arange(n)[:, None, None]).reshape(-1, 3))
        parts.append(_values(units, patch.stations, patch.triangles))
        count += n * q
    return _gathered(units, parts, np.concatenate(cells))


def fields_at(units: UnitStress, points: ArrayLike) -> SectionFields:
    """The fields at single points (k, 2), in the axes of the input.

    Raises
    ------
    InputError
        For a point outside the material, with its place.
    """
    try:
        places = np.asarray(points, float).reshape(-1, 2)
    except (TypeError, ValueError) as error:
        raise InputError("points are pairs of numbers, like [[0, 100], [75, 140]]") from error
    mesh = units.field.mesh
    triangle, xi, eta = locate(mesh, np.nan_to_num(places))
    outside = np.flatnonzero((triangle < 0) | ~np.isfinite(places).all(axis=1))
    if outside.size:
        k = int(outside[0])
        x, y = places[k]
        unit = units.result.unit
        where = f"({x:.6g}, {y:.6g}) {unit}".rstrip()
        raise InputError(f"point {k + 1}, {where}, lies outside the section's material; move it")
    parts, order = [], []
    for t in np.unique(triangle):
        own = np.flatnonzero(triangle == t)
        one = np.array([t])
        stations = stations_at(mesh, units.field.order, xi[own], eta[own], one)
        parts.append(_values(units, stations, one))
        order.append(own)
    found = _gathered(units, parts, np.empty((0, 3), dtype=np.int64))
    back = np.argsort(np.concatenate(order)) if order else np.empty(0, dtype=np.int64)
    return SectionFields(
        places,
        found.triangles,
        found.element[back],
        found.region[back],
        found.stress_function[back],
        found.warping[back],
        found.sigma[:, back],
        found.tau[:, back],
        found.near_corner[back],
    )


def _values(units: UnitStress, stations: TrianglePoints, triangles: Ints) -> tuple[Any, ...]:
    """Points, elements, phi, omega, sigma and tau of one group of triangles, flat."""
    field, result = units.field, units.result
    n, q, _ = stations.points.shape
    omega = result.warping_properties.about_shear_centre(
        stations.points, stations.values(field.omega[triangles])
    )
    arrays = units.evaluate(stations, triangles)
    return (
        stations.points.reshape(-1, 2),
        np.repeat(triangles, q),
        stations.values(field.phi[triangles]).ravel() / result.torsion_constant,
        omega.ravel(),
        arrays.sigma.reshape(8, n * q),
        arrays.tau.reshape(8, n * q, 2),
    )


def _gathered(units: UnitStress, parts: list[tuple[Any, ...]], cells: Ints) -> SectionFields:
    points, element, phi, omega, sigma, tau = zip(*parts, strict=True) if parts else ((),) * 6
    flat = np.concatenate(points)
    elements = np.concatenate(element)
    return SectionFields(
        flat,
        turned(flat, cells),
        elements,
        units.field.mesh.region[elements],
        np.concatenate(phi),
        np.concatenate(omega),
        np.concatenate(sigma, axis=1),
        np.concatenate(tau, axis=1),
        left_out(flat, units.result.corners),
    )
