"""What a slow mode is, in words, by a rule from its own shape.

With mean squares over the section, u in its plane and w along the member:

* "warping of torsion": in its plane the section moves as a rigid body (nine tenths or more of u),
  and w less its plane part follows the torsional warping (nine tenths or more of it);
* "local deformation" where the section has no joints, the places where walls meet at re-entrant
  corners or fillets: solid bars;
* "shear lag": w is a tenth of all or more; "of the flanges" where seven tenths or more of its slope
  are along x, "of the webs" where they are along y;
* "distortion": joints move by four tenths or more of what moves most;
* else the walls bend between joints that stay: "bending of the webs" where seven tenths or more of
  u are along x, "bending of the flanges" where along y, "bending of the walls" between the two.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import sampled_basis
from ..mesh.section_mesh import Array, Ints, SectionMesh, border_angles, border_of
from .elasticity.fields import Fields
from .elasticity.part import part_of

#: Shares of the rule.
RIGID, TORSIONAL, LAGGING, MOVING, ONE_WAY = 0.9, 0.9, 0.1, 0.4, 0.7
#: Interior angle from which a corner is re-entrant.
_REENTRANT = np.deg2rad(183)


def kinds_of(
    fields: Fields,
    solid: NDArray[np.bool_],
    shapes: NDArray[np.complex128],
    warping: Array,
) -> tuple[str, ...]:
    """The kind of each mode.

    Parameters
    ----------
    fields : Fields
        The basis.
    solid : (t,) bool
        Where the section has material.
    shapes : (n, m) complex
        Coefficients of the modes.
    warping : (count,)
        Torsional warping about the shear centre.
    """
    some = np.flatnonzero(solid)
    modes = Fields(
        fields.mesh, fields.order, fields.numbers,
        fields.coefficients @ np.hstack([shapes.real, shapes.imag]), fields.linear,
    )  # fmt: skip
    spots = modes.spots(some, sampled_basis(fields.order, fields.order + 1))
    weight = spots.weights / spots.weights.sum()
    u, slope = (_complex(a) for a in modes.at(spots))
    size = np.einsum("tq,tqdm->dm", weight, np.abs(u) ** 2)  # of the three components
    steep = np.einsum("tq,etqm->em", weight, np.abs(slope[:, :, :, 2]) ** 2)
    x, y = spots.points[..., 0], spots.points[..., 1]
    omega = warping[fields.numbers[some]] @ spots.value.T
    one, zero = np.ones_like(x), np.zeros_like(x)
    turns = np.array([[one, zero], [zero, one], [-y, x]]).transpose(0, 2, 3, 1)
    planes = np.stack([one, x, y])[..., None]
    stiff = _share(turns, u[:, :, :2], weight)
    plane = _share(planes, u[:, :, 2:], weight)
    both = _share(np.concatenate([planes, omega[None, ..., None]]), u[:, :, 2:], weight)
    joints = _joints(part_of(fields.mesh, 2, some).mesh, np.unique(fields.mesh.triangles[some]))
    at = np.abs(_complex(modes.coefficients[joints, :2])).max(axis=1) if joints.size else None
    most = np.sqrt((np.abs(u[:, :, :2]) ** 2).sum(axis=2)).max(axis=(0, 1))
    out = []
    for k in range(shapes.shape[1]):
        inside, along = size[:2, k].sum(), size[2, k]
        follows = (both[k] - plane[k]) / max(1 - plane[k], 1e-30)
        if stiff[k] >= RIGID and follows >= TORSIONAL:
            kind = "warping of torsion"
        elif at is None:
            kind = "local deformation"
        elif along >= LAGGING * (inside + along):
            kind = "shear lag" + _of(steep[0, k] / steep[:, k].sum(), "flanges", "webs", "")
        elif at[:, k].max() >= MOVING * most[k]:
            kind = "distortion"
        else:
            kind = "bending" + _of(size[0, k] / inside, "webs", "flanges", " of the walls")
        out.append(kind)
    return tuple(out)


def _complex(parts: Array) -> NDArray[np.complex128]:
    """Real and imaginary parts, side by side in the last axis, as one."""
    half = parts.shape[-1] // 2
    return np.asarray(parts[..., :half] + 1j * parts[..., half:])


def _of(share: float, one: str, other: str, neither: str) -> str:
    if share >= ONE_WAY:
        return f" of the {one}"
    return f" of the {other}" if share <= 1 - ONE_WAY else neither


def _share(known: Array, u: NDArray[np.complex128], weight: Array) -> Array:
    """(m,) part of the mean square of fields (t, q, d, m) that known ones (k, t, q, d) explain."""
    scale = np.sqrt(np.einsum("tq,ktqd->k", weight, known**2))
    known = known / np.where(scale > 0, scale, 1)[:, None, None, None]
    table = np.einsum("tq,itqd,jtqd->ij", weight, known, known, optimize=True)
    found = np.einsum("tq,itqd,tqdm->im", weight, known, u, optimize=True)
    explained = (found.conj() * np.linalg.lstsq(table, found, rcond=1e-12)[0]).sum(axis=0).real
    total = np.einsum("tq,tqdm->m", weight, np.abs(u) ** 2)
    return np.asarray(explained / np.maximum(total, 1e-300))


def _joints(mesh: SectionMesh, vertices: Ints) -> Ints:
    """Vertices of the border where walls meet, by their numbers in the whole mesh."""
    border = border_of(mesh)
    angle = border_angles(mesh, border)
    inward = border.bulges < 0
    near = np.zeros(len(mesh.vertices), dtype=bool)
    near[border.start[inward]] = near[border.end[inward]] = True
    return vertices[np.flatnonzero(near | (angle > _REENTRANT))]
