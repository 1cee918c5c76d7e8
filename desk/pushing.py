"""A force pushed against the end of a cantilever: how it twists and bends, and what holds it.

The classical theory, exact for a prismatic member: one end (z = 0) is held against everything,
warping too; the other (z = L) is free and carries the force F at a point (x, y) of its section.
About the shear centre S the torque is T = (x - x_S) F_y - (y - y_S) F_x, and with
k = sqrt(G J / (E C_w))

    phi(z) = T / (G J) (z - (sinh kL - sinh k(L - z)) / (k cosh kL)),    B(0) = -T tanh(kL) / k

(Vlasov, Thin-walled elastic beams, 2nd ed. 1959; derived from G J phi' - E C_w phi''' = T with
phi(0) = phi'(0) = phi''(L) = 0). The shear centre's axis bends by
[u, v] = (E I)^-1 F (L z^2 / 2 - z^3 / 6), I = [[I_y, I_xy], [I_xy, I_x]]. Shear deformation and
deformation of the section are left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError
from ..geometry.units import Units
from ..report.page.live_section import QUANTITY
from ..report.text.number import displayed, number
from ..solver.joint.bolt_group import axial_share, vector_method
from ..solver.plane_section import warps
from .dials import SolvedTorsion

Array = NDArray[np.float64]

#: Stations along the member.
_STATIONS = 49
#: Where the bolts of the end plate stand, as shares of the section's width and depth from its
#: middle: four rows of two.
_COLUMNS, _ROWS = (-0.3, 0.3), (0.42, 0.14, -0.14, -0.42)


def pushed(
    solved: SolvedTorsion, force: tuple[float, float], at: tuple[float, float], length: float
) -> dict[str, Any]:
    """What the page shows of a push.

    Parameters
    ----------
    solved : SolvedTorsion
    force : (F_x, F_y)
        In newtons.
    at : (x, y)
        Where it acts, in the section's unit.
    length : float
        Of the member, in the section's unit.

    Raises
    ------
    InputError
        If stiffness is unknown: a region without material, or a section without unit.
    """
    section = solved.section
    if not section.unit or not all(r.material.specified for r in section.regions):
        raise InputError(
            'how far it moves depends on the material: name one, like material = "S355", in every '
            "part of the sheet"
        )
    units = Units(section.unit)
    load = np.array(force, dtype=float) * units.read("1 N", "force")
    turn = twisting(solved, load, at, length)
    z = np.linspace(0.0, length, _STATIONS)
    phi = turn.twist(z)
    movement = _bending(solved, load, length, z)
    actions = _held(load, turn, length)
    factors = [displayed(section.unit, q)[1] for q in QUANTITY]
    shown = [float(a * f) for a, f in zip(actions, factors, strict=True)]
    return {
        "unit": section.unit,
        "length": length,
        "z": z.tolist(),
        "u": movement[0].tolist(),
        "v": movement[1].tolist(),
        "twist": phi.tolist(),
        "axis": [float(c) for c in solved.warping.shear_centre],
        "torque": float(turn.torque * factors[5]),
        "actions": shown,
        "values": _values(solved, turn, movement, phi, shown),
        "rows": _rows(solved, load, at, actions),
        "words": "classical theory: the section keeps its shape, the far end is held against "
        "turning and warping; bolts share as an elastic group, prying left out",
    }


@dataclass(frozen=True, slots=True)
class Twisting:
    """The twist of the cantilever.

    Attributes
    ----------
    torque : float
        T, about the shear centre.
    rigidity : float
        G J.
    rate : float
        k, 1 / length; infinite where the section does not warp.
    length : float
    """

    torque: float
    rigidity: float
    rate: float
    length: float

    def twist(self, z: Array) -> Array:
        """phi(z) in radians, written so that a long member does not overflow."""
        straight = self.torque / self.rigidity * z
        if not np.isfinite(self.rate):
            return np.asarray(straight)
        k, full = self.rate, self.rate * self.length
        far = np.exp(-2 * full)
        held = (1 - far - np.exp(-k * z) + np.exp(-k * (2 * self.length - z))) / (k * (1 + far))
        return np.asarray(self.torque / self.rigidity * (z - held))

    @property
    def bimoment(self) -> float:
        """B at the held end."""
        if not np.isfinite(self.rate):
            return 0.0
        return float(-self.torque * np.tanh(self.rate * self.length) / self.rate)


def twisting(
    solved: SolvedTorsion, load: Array, at: tuple[float, float], length: float
) -> Twisting:
    """How a load at a point of the end section twists the cantilever."""
    material, area = solved.section.regions[0].material, solved.area
    x, y = (float(c) for c in np.asarray(at, dtype=float) - solved.warping.shear_centre)
    torque = x * float(load[1]) - y * float(load[0])
    rigidity = material.shear * solved.torsion_constant
    cw, m = solved.warping.warping_constant, area.second_moments
    rate = np.inf
    if warps(cw, m.x, m.y, area.area):
        rate = float(np.sqrt(rigidity / (material.elastic_modulus * cw)))
    return Twisting(torque, rigidity, rate, length)


def _bending(solved: SolvedTorsion, load: Array, length: float, z: Array) -> Array:
    """(2, m) movement of the shear centre's axis."""
    m = solved.area.second_moments
    stiffness = solved.section.regions[0].material.elastic_modulus * np.array(
        [[m.y, m.xy], [m.xy, m.x]]
    )
    along = length * z**2 / 2 - z**3 / 6
    return np.asarray(np.linalg.solve(stiffness, load)[:, None] * along)


def _held(load: Array, turn: Twisting, length: float) -> Array:
    """(8,) actions at the held end, in the order of `SYMBOLS`."""
    fx, fy = (float(f) for f in load)
    warping = np.isfinite(turn.rate)
    return np.array([
        0.0, -fy * length, fx * length, fx, fy,
        0.0 if warping else turn.torque, turn.torque if warping else 0.0, turn.bimoment,
    ])  # fmt: skip


def _values(
    solved: SolvedTorsion, turn: Twisting, movement: Array, phi: Array, shown: list[float]
) -> list[dict[str, Any]]:
    unit = solved.section.unit
    moment, bimoment = displayed(unit, "moment")[0], displayed(unit, "bimoment")[0]
    force = displayed(unit, "force")[0]
    torque = float(turn.torque * displayed(unit, "moment")[1])
    tip = float(np.hypot(*movement[:, -1]))
    rows = [
        ("twist of the end", "φ", float(np.degrees(phi[-1])), "°"),
        ("deflection of the end", "w", tip, unit),
        ("torque about the shear centre", "T", torque, moment),
        ("couple that the end connection holds", "T", torque, moment),
        ("moment about x there", "M_x", shown[1], moment),
        ("moment about y there", "M_y", shown[2], moment),
        ("bimoment there", "B", shown[7], bimoment),
        ("force there", "V", float(np.hypot(shown[3], shown[4])), force),
    ]
    return [
        {"words": w, "symbol": s, "value": v, "unit": u, "text": number(v, 4)}
        for w, s, v, u in rows
    ]


def _rows(
    solved: SolvedTorsion, load: Array, at: tuple[float, float], actions: Array
) -> list[dict[str, Any]]:
    """Shear and pull of each row of an end plate's bolts, eight alike in four rows."""
    unit = solved.section.unit
    x0, y0, x1, y1 = solved.section.bounds()
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    size = np.array([x1 - x0, y1 - y0])
    bolts = np.array([middle + size * (c, r) for r in _ROWS for c in _COLUMNS])
    x, y = np.asarray(at, dtype=float) - middle
    shear = vector_method(bolts, load, float(x * load[1] - y * load[0]))
    pull = axial_share(bolts, 0.0, (float(actions[1]), float(actions[2])))
    label, factor = displayed(unit, "force")
    found = []
    for k in range(len(_ROWS)):
        some = slice(k * len(_COLUMNS), (k + 1) * len(_COLUMNS))
        total = shear[some].sum(axis=0) * factor
        size_of_it = float(np.hypot(*total))
        axial = float(pull[some].sum()) * factor
        word = "pull" if axial >= 0 else "push"
        found.append(
            {
                "words": f"bolt row {k + 1}",
                "text": f"shear {number(size_of_it, 3)}, {word} {number(abs(axial), 3)} {label}",
                "force": size_of_it,
                "pull": axial,
                "unit": label,
                "at": bolts[some].mean(axis=0).tolist(),
                "direction": (total / size_of_it).tolist() if size_of_it > 0 else None,
                "bolts": bolts[some].tolist(),
            }
        )
    return found
