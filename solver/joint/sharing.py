"""How a joint shares what acts on it: the force of every bolt, the stress along every weld, the
bending of its plates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError, SolveError
from ...geometry.section_file.entry import naming
from .bolt_group import axial_share, contact_share, vector_method
from .detail import AXES, BoltPlace, JointDetail, PlateCut, Vector, WeldPlace
from .instantaneous_centre import centre_method
from .joint_actions import JointActions
from .weld_centre import weld_centre_method
from .weld_group import line_forces, line_moments

Array = NDArray[np.float64]

#: Places along each weld at which its stress is told.
_ALONG = 21
#: Pieces a weld in the instantaneous-centre method.
_PIECES = 100
#: In-plane action below this share of all that acts is none.
_NONE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class BoltShare:
    """Forces of the bolts of one place (N), which the arriving member puts on them.

    Attributes
    ----------
    place : BoltPlace
    elastic : (n, 2)
        In the plane's axes (a, b), by the elastic vector method.
    centred : (n, 2) or None
        By the instantaneous centre; None where it was not found.
    centre : (a, b) or None
        Instantaneous centre.
    tension : (n,)
        Along the bolts; where `place.presses` is empty, bolts push too.
    pressure : (m,)
        Of the points of contact.
    """

    place: BoltPlace
    elastic: Array
    centred: Array | None
    centre: tuple[float, float] | None
    tension: Array
    pressure: Array

    @property
    def shear(self) -> Array:
        """(n,) across each bolt, all shear planes together, elastic."""
        return np.asarray(np.hypot(*self.elastic.T))

    @property
    def centred_shear(self) -> Array | None:
        """(n,) by the instantaneous centre."""
        return None if self.centred is None else np.asarray(np.hypot(*self.centred.T))

    @property
    def largest(self) -> float:
        """Largest resultant of shear and tension among the bolts, elastic."""
        return float(np.hypot(self.shear, self.tension).max())

    @property
    def governing(self) -> int:
        """Number of the bolt with the largest resultant, from 0."""
        return int(np.hypot(self.shear, self.tension).argmax())


@dataclass(frozen=True, slots=True, eq=False)
class WeldShare:
    """Forces along the welds of one place.

    Attributes
    ----------
    place : WeldPlace
    points : (n, k, 3)
        Places along each of n lines.
    forces : (n, k, 3)
        Per length (N/mm), axes (y, z, x), elastic line method.
    centred : float or None
        Largest force per length by the instantaneous centre; None unless all acts in one plane.
    """

    place: WeldPlace
    points: Array
    forces: Array
    centred: float | None

    @property
    def stress(self) -> Array:
        """(n, k) resultant over the throat (MPa)."""
        return np.asarray(np.linalg.norm(self.forces, axis=2) / self.place.throat)

    @property
    def largest(self) -> float:
        """Largest stress over the throat (MPa)."""
        return float(self.stress.max())


@dataclass(frozen=True, slots=True)
class PlateCutStress:
    """A plate's cross-section: moments and shear that pass it and their elastic stresses (MPa).

    Attributes
    ----------
    cut : PlateCut
    shear, moment, torque : float
        Across its height, in its plane (about z), and about x.
    normal : float
        Largest, from bending in its plane and axial force over the net section, and from bending
        out of it.
    mean_shear : float
        Over the net area.
    torsion : float
        3 T / (h t^2) of a thin cut.
    """

    cut: PlateCut
    shear: float
    moment: float
    torque: float
    normal: float
    mean_shear: float
    torsion: float


@dataclass(frozen=True, slots=True, eq=False)
class JointShare:
    """A joint under one set of actions."""

    detail: JointDetail
    actions: JointActions
    bolts: tuple[BoltShare, ...]
    welds: tuple[WeldShare, ...]
    cuts: tuple[PlateCutStress, ...]

    @property
    def largest_bolt(self) -> float:
        """Largest resultant of all bolts; 0 without bolts."""
        return max((b.largest for b in self.bolts), default=0.0)

    @property
    def largest_weld(self) -> float:
        """Largest stress over a throat; 0 without welds."""
        return max((w.largest for w in self.welds), default=0.0)


def share(detail: JointDetail, actions: JointActions) -> JointShare:
    """Bolts, welds and plates under the actions.

    Raises
    ------
    InputError
        Where the joint cannot hold what acts, named: one bolt under a moment, one line of weld.
    SolveError
        Where contact finds no balance.
    """
    with naming(f"joint {detail.name!r} under {actions.name!r}"):
        return JointShare(
            detail,
            actions,
            tuple(_bolts(place, actions) for place in detail.bolts),
            tuple(_welds(place, actions) for place in detail.welds),
            tuple(_cut(cut, actions) for cut in detail.cuts),
        )


def _local(actions: JointActions, centre: Vector, plane: str) -> tuple[Array, Array]:
    """Force and moment about a centre, in a plane's axes (a, b, n)."""
    order = list(AXES[plane])  # type: ignore[index]
    return np.array(actions.force)[order], np.array(actions.about(centre))[order]


def _bolts(place: BoltPlace, actions: JointActions) -> BoltShare:
    x, y, z = place.points.mean(axis=0).tolist()
    force, moment = _local(actions, (x, y, z), place.plane)
    points = place.flat_points
    with naming(place.name):
        size = max(float(np.abs(points - points.mean(axis=0)).max()), place.hole)
        acting = max(float(np.abs(force).max()), float(np.abs(moment).max()) / size)
        force[np.abs(force) < _NONE * acting] = 0.0
        moment[np.abs(moment) < _NONE * acting * size] = 0.0
        elastic = vector_method(points, force[:2], float(moment[2]))
        centred, centre = None, None
        try:
            found = centre_method(points, force[:2], float(moment[2]))
            centred, centre = found.forces, found.centre
        except SolveError:
            pass  # the elastic method stands alone, and the table says so
        pull, bend = float(force[2]), (float(moment[0]), float(moment[1]))
        if len(place.presses):
            presses = place.presses[:, AXES[place.plane][:2]]
            tension, pressure = contact_share(points, presses, pull, bend)
        else:
            tension, pressure = _without_contact(points, pull, bend), np.zeros(0)
    return BoltShare(place, elastic, centred, centre, tension, pressure)


def _without_contact(points: Array, pull: float, bend: tuple[float, float]) -> Array:
    if not (pull or any(bend)):
        return np.zeros(len(points))
    try:
        return axial_share(points, pull, bend)
    except InputError as error:
        raise InputError(
            f"{error}; a plate on one side of a web holds no moment out of its plane by one line "
            "of bolts"
        ) from error


def _welds(place: WeldPlace, actions: JointActions) -> WeldShare:
    lines = place.lines[:, :, 1:]
    known = line_moments(lines)
    centre = (float(place.lines[0, 0, 0]), *known.centroid)
    force, moment = _local(actions, centre, "face")
    share_at = np.linspace(0.0, 1.0, _ALONG)
    start, end = place.lines[:, :1], place.lines[:, 1:]
    points = start + share_at[None, :, None] * (end - start)
    with naming(f"welds of {place.name}"):
        flat = line_forces(lines, points[:, :, 1:].reshape(-1, 2), force, moment)
    return WeldShare(place, points, flat.reshape(*points.shape), _centred(place, force, moment))


def _centred(place: WeldPlace, force: Array, moment: Array) -> float | None:
    """Largest force per length by the instantaneous centre, where all acts in one plane.

    That plane is the face itself, or x-y when the lines are upright: then they lie one behind the
    other and are seen from the side.
    """
    upright = place.lines[:, :, [0, 1]]
    size = float(np.abs(np.diff(place.lines, axis=1)).max())
    f, m = np.abs(force), np.abs(moment) / size
    small = 1e-6 * max(float(f.max()), float(m.max()))
    if max(f[2], m[0], m[1]) <= small:
        lines, load, turn = place.lines[:, :, 1:], force[:2], moment[2]
    elif max(f[1], m[0], m[2]) <= small and np.ptp(place.lines[:, :, 2], axis=1).max() == 0:
        lines, load, turn = upright, force[[2, 0]], moment[1]
    else:
        return None
    if max(float(np.abs(load).max()), abs(float(turn)) / size) <= 0:
        return None
    try:
        found = weld_centre_method(lines, load, float(turn), _PIECES)
    except SolveError:
        return None
    length = np.repeat(np.hypot(*(lines[:, 1] - lines[:, 0]).T) / _PIECES, _PIECES)
    return float((np.hypot(*found.forces.T) / length).max())


def _cut(cut: PlateCut, actions: JointActions) -> PlateCutStress:
    """Elastic bending of a plate's cross-section."""
    m_x, m_y, m_z = actions.about((cut.x, 0.0, 0.0))
    f_x, f_y, _ = actions.force
    h, t = cut.height, cut.thickness
    net = t * (h - cut.holes)
    normal = abs(m_z) * ((t if cut.flat else h) / 2) / cut.net if cut.net > 0 else 0.0
    normal += abs(m_y) * 6 / (net * (h if cut.flat else t))
    normal += abs(f_x) / net
    slim = min(h, t)
    return PlateCutStress(
        cut, f_y, m_z, m_x, normal, abs(f_y) / net, 3 * abs(m_x) / (max(h, t) * slim**2)
    )
