"""What moves when a section buckles, in words, by a rule from the mode's own shape.

Let r be the part of the mean square of the in-plane displacement u that a rigid motion explains.
Fold lines (see `fold_lines`) move where the largest u on them is at least `MOVING` of the largest u
anywhere; of a mode with a global name, both are taken less the rigid motion.

* r of `RIGID` or more: the section keeps its shape. With q the part of the rotation about the shear
  centre in the sum of its own mean square and that of the shear centre's translation: "flexural" up
  to `ALONE`, "torsional" from 1 - `ALONE` on; between them "flexural-torsional" where the normal
  force does at least half of the work that buckles the section, else "lateral-torsional".
* r from `MOSTLY` to `RIGID`, and a half-wavelength of the section's diagonal or more: the same
  names, "with distortion" where fold lines move, else "with local buckling".
* else "distortional" where fold lines move, and "local" where they do not: walls bend between them.
  Sections without fold lines (bars, round tubes) buckle locally.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..deforming.chains import Chains
from ..deforming.elasticity.elastic import Elastic
from ..deforming.elasticity.fields import Fields
from ..elements.basis import sampled_basis
from ..mesh.section_mesh import Ints
from .fold_lines import fold_lines
from .pencil import Waves

RIGID, MOSTLY, MOVING, ALONE = 0.9, 0.5, 0.4, 0.03
#: A flexural mode is about an axis within this angle, in degrees.
_ALONG = 3.0


@dataclass(frozen=True, slots=True)
class Movement:
    """What moves.

    Attributes
    ----------
    kind : str
        By the rule above, without the axis of a flexural mode.
    words : str
        The same with the axis.
    rigid : float
        Part of the mean square displacement that a rigid motion explains.
    rotation : float
        Part of the rotation about the shear centre in the rigid motion.
    folds : float
        Largest displacement of a fold line by the largest anywhere, less the rigid motion where
        that is most of the displacement.
    at : (x, y)
        Where the displacement in the plane is largest.
    """

    kind: str
    words: str
    rigid: float
    rotation: float
    folds: float
    at: tuple[float, float]


class Naming:
    """The rule on one section, its sums made ready."""

    def __init__(self, fields: Fields, elastic: Elastic, chains: Chains) -> None:
        self._fields, self._centre = fields, chains.shear_centre
        self._size = float(np.hypot(*np.ptp(fields.mesh.vertices, axis=0)))
        everywhere = np.arange(len(fields.mesh.triangles))
        self._spots = fields.spots(everywhere, sampled_basis(fields.order, fields.order + 1))
        self._weight = self._spots.weights / self._spots.weights.sum()
        self._elastic = elastic.modulus[:, None] * self._spots.weights
        arm = self._spots.points - chains.shear_centre
        one, zero = np.ones(arm.shape[:2]), np.zeros(arm.shape[:2])
        motions = np.array([[one, zero], [zero, one], [-arm[..., 1], arm[..., 0]]])
        self._motions = motions.transpose(0, 2, 3, 1)
        self._gram = np.einsum("tq,itqd,jtqd->ij", self._weight, self._motions, self._motions)
        self._folds: Ints = fold_lines(fields.mesh)

    def normal_work(self, wave: Waves, k: float, strain: float) -> float:
        """-k^2 int sigma u . u of a stress sigma = E strain for one wave (count, 3)."""
        u = self._values(wave)
        return float(-k * k * strain * (self._elastic[..., None] * np.abs(u) ** 2).sum())

    def of(self, wave: Waves, k: float, normal: float, *, bent: bool = False) -> Movement:
        """The movement of a wave (count, 3).

        Parameters
        ----------
        k : float
        normal : float
            Part of the normal force in the work that buckles the section.
        bent : bool
            Whether moments act.
        """
        u = self._values(wave)[..., :2]
        total = float(np.einsum("tq,tqd->", self._weight, np.abs(u) ** 2))
        load = np.einsum("tq,itqd,tqd->i", self._weight, self._motions, u, optimize=True)
        c = np.linalg.solve(self._gram, load)
        rigid = float((c.conj() @ load).real) / total
        whole = rigid >= (MOSTLY if np.pi / k >= self._size else RIGID)
        kept = c if whole else 0 * c
        left = u - np.einsum("itqd,i->tqd", self._motions, kept)
        turning = float(abs(c[2]) ** 2 * self._gram[2, 2])
        moving = float((np.abs(c[:2]) ** 2).sum())
        rotation = turning / (turning + moving) if turning + moving > 0 else 0.0
        folds = self._fold_motion(wave, kept, left)
        kind, words = _named(whole, rigid, rotation, folds, normal, bent, c)
        size = (np.abs(u) ** 2).sum(axis=2)
        t, q = np.unravel_index(int(size.argmax()), size.shape)
        x, y = self._spots.points[t, q]
        return Movement(kind, words, rigid, rotation, folds, (float(x), float(y)))

    def _fold_motion(self, wave: Waves, c: Waves, left: Waves) -> float:
        if not len(self._folds):
            return 0.0
        arm = self._fields.mesh.vertices[self._folds] - self._centre
        moved = wave[self._folds, :2].astype(left.dtype)
        moved[:, 0] -= c[0] - c[2] * arm[:, 1]
        moved[:, 1] -= c[1] + c[2] * arm[:, 0]
        most = np.sqrt((np.abs(left) ** 2).sum(axis=2).max())
        return float(np.sqrt((np.abs(moved) ** 2).sum(axis=1).max()) / most) if most else 0.0

    def _values(self, wave: Waves) -> Waves:
        """(t, q, 3) displacements."""
        local = wave[self._fields.numbers]
        return np.asarray(np.einsum("qn,tnd->tqd", self._spots.value, local, optimize=True))


def _named(
    whole: bool,
    rigid: float,
    rotation: float,
    folds: float,
    normal: float,
    bent: bool,
    c: Waves,
) -> tuple[str, str]:
    if not whole:
        kind = "distortional" if folds >= MOVING else "local"
        return kind, kind
    if rotation <= ALONE and (normal >= 0.5 or not bent):
        kind, words = "flexural", f"flexural about {_axis(c)}"
    elif rotation >= 1 - ALONE:
        kind = words = "torsional"
    else:
        kind = words = "flexural-torsional" if normal >= 0.5 else "lateral-torsional"
    if rigid < RIGID:
        more = " with distortion" if folds >= MOVING else " with local buckling"
        return kind + more, words + more
    return kind, words


def _axis(c: Waves) -> str:
    """The axis that a translation bends about."""
    turn = np.exp(-0.5j * np.angle((c[:2] ** 2).sum()))
    move = (c[:2] * turn).real
    angle = float(np.rad2deg(np.arctan2(move[1], move[0])) - 90) % 180
    for name, at in (("x", 0.0), ("y", 90.0), ("x", 180.0)):
        if abs(angle - at) < _ALONG:
            return name
    return f"an axis at {angle:.0f}° to x"
