"""A force pushed against the end of a cantilever: how it twists and bends, and what holds it.

A length of the member beyond the section, held at its far end (z = 0) against everything, warping
too, and free at the end that is pushed (z = L). The classical member is linear: it is solved once
for a force along x and one along y through the shear centre S and for a torque, and every push is
their sum, with T = (x - x_S) F_y - (y - y_S) F_x.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError, SolveError
from ..geometry.section import Section
from ..geometry.units import Units
from ..report.page.live_section import QUANTITY
from ..report.text.number import displayed, number
from ..solver.joint.bolt_group import axial_share, vector_method
from ..solver.joint.detail import JointDetail
from ..solver.member.beam.analysis import solve
from ..solver.member.model.constants import SectionConstants
from ..solver.member.model.load import PointLoad
from ..solver.member.model.member import Member
from ..solver.member.model.support import fixed, free_end
from ..solver.plane_section import warps
from ..solver.section.stress.actions import SYMBOLS
from .dials import SolvedTorsion
from .own_joint import bolt_row, joint_rows, joint_under

Array = NDArray[np.float64]

#: Stations along the member.
_STATIONS = 49
#: Where the bolts of the end plate stand, as shares of the section's width and depth from its
#: middle: four rows of two.
_COLUMNS, _ROWS = (-0.3, 0.3), (0.42, 0.14, -0.14, -0.42)
#: The first of the actions that come with twisting.
_TORSION = SYMBOLS.index("T")
#: The shear centre is known to this share of the section's size: a force as near to it does not
#: twist.
_NO_ARM = 1e-6
WORDS = (
    "classical theory: the section keeps its shape; the far end is held against turning and warping"
)
ASSUMED = "its eight bolts share as an elastic group, prying left out"
OWN = (
    "bolts and welds of {!r} share by its own layout, elastic, the middle of its bolts at the "
    "middle of the section; how far the joint itself gives way is left out"
)


@dataclass(frozen=True, slots=True, eq=False)
class Cantilever:
    """The answers of a cantilever to unit forces along x and y at its shear centre and a unit
    torque, at its end.

    Attributes
    ----------
    z : (m,)
    u, v, phi : (m, 3)
        Movement of the shear centre's axis, and twist.
    held : (3, 8)
        Actions at the held end, in the order of a section's unit stresses.
    shear_centre : (2,)
    """

    z: Array
    u: Array
    v: Array
    phi: Array
    held: Array
    shear_centre: Array

    @classmethod
    def of(cls, constants: SectionConstants, length: float) -> Cantilever:
        """Solve the three of them."""
        loads = (
            PointLoad(length, (1.0, 0.0, 0.0), case="x"),
            PointLoad(length, (0.0, 1.0, 0.0), case="y"),
            PointLoad(length, moment=(0.0, 0.0, 1.0), case="torque"),
        )
        member = Member.prismatic(length, constants, [fixed(0.0), free_end(length)], loads=loads)
        at = solve(member).at(np.linspace(0.0, length, _STATIONS))
        bends, twists = np.array([1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
        # at the shear centre a force only bends, a torque only twists: what else there is, rounds
        held = at.actions[0] * np.where(np.arange(8) < _TORSION, bends[:, None], twists[:, None])
        return cls(
            at.z, at.u * bends, at.v * bends, at.phi * twists, held,
            np.array(constants.shear_centre),
        )  # fmt: skip

    def shares(self, load: Sequence[float] | Array, at: tuple[float, float]) -> Array:
        """(3,) forces and torque of a load at a point of the end section."""
        x, y = np.asarray(at, dtype=float) - self.shear_centre
        return np.array([load[0], load[1], x * load[1] - y * load[0]])


def quick_constants(solved: SolvedTorsion) -> SectionConstants:
    """What bends and twists the cantilever, without the shear deformation that a full solution
    brings."""
    material, area = solved.section.regions[0].material, solved.area
    m, cw = area.second_moments, solved.warping.warping_constant
    centroid, centre = area.centroid, solved.warping.shear_centre
    return SectionConstants(
        elastic_modulus=material.elastic_modulus,
        shear_modulus=material.shear,
        area=area.area,
        second_moment_x=m.x,
        second_moment_y=m.y,
        product_moment=m.xy,
        torsion_constant=solved.torsion_constant,
        warping_constant=cw if warps(cw, m.x, m.y, area.area) else 0.0,
        centroid=(float(centroid[0]), float(centroid[1])),
        shear_centre=(float(centre[0]), float(centre[1])),
    )


def check_stiffness(section: Section) -> None:
    """A push moves nothing by a known amount where stiffness is unknown.

    Raises
    ------
    InputError
        If a region has no material, or the section no unit.
    """
    if not section.unit or not all(r.material.specified for r in section.regions):
        raise InputError(
            'how far it moves depends on the material: name one, like material = "S355", in every '
            "part of the sheet"
        )


def pushed(
    section: Section, beam: Cantilever, force: tuple[float, float], at: tuple[float, float],
    joint: JointDetail | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What the page shows of a push.

    Parameters
    ----------
    section : Section
    beam : Cantilever
        In the section's consistent units.
    force : (F_x, F_y)
        In newtons.
    at : (x, y)
        Where it acts, in the section's unit.
    joint : JointDetail, optional
        That holds the far end; an end plate with four rows of two bolts when left out.
    """
    load = np.array(force, dtype=float) * Units(section.unit).read("1 N", "force")
    shares = beam.shares(load, at)
    if abs(shares[2]) < _NO_ARM * section.size() * float(np.hypot(*load)):
        shares[2] = 0.0
    u, v, phi = beam.u @ shares, beam.v @ shares, beam.phi @ shares
    actions = shares @ beam.held
    shown = [
        float(a * displayed(section.unit, q)[1]) for a, q in zip(actions, QUANTITY, strict=True)
    ]
    torque = float(shares[2] * displayed(section.unit, "moment")[1])
    return {
        "unit": section.unit,
        "length": float(beam.z[-1]),
        "z": beam.z.tolist(),
        "u": u.tolist(),
        "v": v.tolist(),
        "twist": phi.tolist(),
        "axis": beam.shear_centre.tolist(),
        "torque": torque,
        "actions": shown,
        "values": _values(
            section.unit, float(phi[-1]), float(np.hypot(u[-1], v[-1])), torque, shown
        ),
        **_held_by(joint, section, load, at, actions, float(beam.z[-1])),
    }


def _held_by(
    joint: JointDetail | None, section: Section, load: Array, at: tuple[float, float],
    actions: Array, length: float,
) -> dict[str, Any]:  # fmt: skip
    """Rows of bolts of the end connection, or why it cannot hold the push, and what is assumed."""
    if joint is None:
        return {"rows": _rows(section, load, at, actions), "words": f"{WORDS}; {ASSUMED}"}
    words = f"{WORDS}; {OWN.format(joint.name)}"
    try:
        return {"rows": joint_rows(joint_under(joint, section, load, at, length), section),
                "words": words}  # fmt: skip
    except (InputError, SolveError) as error:
        return {"rows": [], "words": words, "joint_refusal": str(error)}


def _values(
    unit: str, twist: float, deflection: float, torque: float, shown: list[float]
) -> list[dict[str, Any]]:
    force, moment, bimoment = (displayed(unit, q)[0] for q in ("force", "moment", "bimoment"))
    rows = [
        ("twist of the end", "φ", float(np.degrees(twist)), "°"),
        ("deflection of the end", "w", deflection, unit),
        ("torque: couple that the end connection holds", "T", torque, moment),
        ("moment about x there", "M_x", shown[1], moment),
        ("moment about y there", "M_y", shown[2], moment),
        ("bimoment there", "B", shown[7], bimoment),
        ("force there", "V", float(np.hypot(shown[3], shown[4])), force),
    ]
    return [
        {"words": w, "symbol": s, "value": x, "unit": u, "text": number(x, 4)}
        for w, s, x, u in rows
    ]


def _rows(
    section: Section, load: Array, at: tuple[float, float], actions: Array
) -> list[dict[str, Any]]:
    """Shear and pull of each row of an end plate's bolts, eight alike in four rows."""
    x0, y0, x1, y1 = section.bounds()
    middle, size = np.array([(x0 + x1) / 2, (y0 + y1) / 2]), np.array([x1 - x0, y1 - y0])
    bolts = np.array([middle + size * (c, r) for r in _ROWS for c in _COLUMNS])
    x, y = np.asarray(at, dtype=float) - middle
    shear = vector_method(bolts, load, float(x * load[1] - y * load[0]))
    pull = axial_share(bolts, 0.0, (float(actions[1]), float(actions[2])))
    label, factor = displayed(section.unit, "force")
    found = []
    for k in range(len(_ROWS)):
        some = slice(k * len(_COLUMNS), (k + 1) * len(_COLUMNS))
        total = shear[some].sum(axis=0) * factor
        axial = float(pull[some].sum()) * factor
        found.append(bolt_row(f"bolt row {k + 1}", total, axial, bolts[some], label))
    return found
