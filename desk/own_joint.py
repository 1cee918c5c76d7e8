"""The end connection of a push as a joint file describes it: what each row of its bolts carries.

The middle of its bolts stands at the middle of the section's depth and width; how the joint itself
gives way is left out of the member's movement.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.section import Section
from ..geometry.units import Units
from ..report.text.number import displayed, number
from ..solver.joint.detail import AXES, JointDetail
from ..solver.joint.joint_file import joints_from_toml
from ..solver.joint.library import joint_detail
from ..solver.joint.sharing import BoltShare, JointShare, share
from ..solver.member.review.held_joint import at_end

Array = NDArray[np.float64]

#: Bolts whose heights differ by less than this (mm) stand in one row.
_ROW = 0.5


@lru_cache(maxsize=8)
def detail_of(text: str, name: str) -> JointDetail:
    """A joint of a joint file's text.

    Raises
    ------
    InputError
        For a fault in the text, or no joint of the name.
    """
    return joint_detail(joints_from_toml(text).spec(name))


def joint_under(
    detail: JointDetail, section: Section, load: Array, at: tuple[float, float], length: float
) -> JointShare:
    """A joint that holds a cantilever under a force at its end.

    Parameters
    ----------
    detail : JointDetail
    section : Section
    load : (2,)
        F_x, F_y in the section's consistent unit.
    at : (x, y)
        Where it acts.
    length : float
        Of the cantilever.

    Raises
    ------
    InputError, SolveError
        Where the joint cannot hold it, in words.
    """
    x, y = np.asarray(at, dtype=float) - _middle(section)
    moment = np.array([-length * load[1], length * load[0], x * load[1] - y * load[0]])
    reaction = (-float(load[0]), -float(load[1]), 0.0)
    mx, my, mz = (-moment).tolist()
    units = Units(section.unit)
    return share(detail, at_end("push", reaction, (mx, my, mz), True, detail, units))


def joint_rows(found: JointShare, section: Section) -> list[dict[str, Any]]:
    """Rows of bolts with their shear and pull, and the largest stress of welds, in words."""
    rows: list[dict[str, Any]] = []
    for group in found.bolts:
        rows += _rows(group, section, f"{group.place.name}, " if len(found.bolts) > 1 else "bolt ")
    for weld in found.welds:
        stress, label = weld.largest, "MPa"
        rows.append(
            {
                "words": f"welds, {weld.place.name}",
                "text": f"up to {number(stress, 3)} {label} over the throat",
                "force": None, "at": None, "direction": None, "bolts": [],
            }
        )  # fmt: skip
    return rows


def _rows(group: BoltShare, section: Section, called: str) -> list[dict[str, Any]]:
    """Forces in space (joint axes: x along the member, y up, z toward its -x) by height."""
    points, label = group.place.points, displayed(section.unit, "force")[0]
    units = Units(section.unit)
    size = units.factor("length", "mm")
    shown = displayed(section.unit, "force")[1] / units.factor("force", "N")
    forces = np.empty((len(points), 3))
    a, b, n = AXES[group.place.plane]
    forces[:, a], forces[:, b] = group.elastic.T
    forces[:, n] = group.tension
    places = _middle(section) + np.stack([-points[:, 2], points[:, 1]], axis=1) / size
    found = []
    heights = np.unique(np.round(points[:, 1] / _ROW))[::-1]
    for k, height in enumerate(heights, start=1):
        own = np.round(points[:, 1] / _ROW) == height
        pull, up, back = (forces[own].sum(axis=0) * shown).tolist()
        total = np.array([-back, up])
        most = float(np.linalg.norm(forces[own], axis=1).max()) * shown
        found.append(
            bolt_row(
                f"{called}row {k}", total, pull, places[own], label,
                more=f", one bolt {number(most, 3)}",
            )
        )  # fmt: skip
    return found


def bolt_row(
    words: str, shear: Array, pull: float, bolts: Array, label: str, more: str = ""
) -> dict[str, Any]:
    """One row of bolts at places (k, 2): its shear (2,) and its pull, in numbers and in words."""
    whole, word = float(np.hypot(*shear)), "pull" if pull >= 0 else "push"
    return {
        "words": words,
        "text": f"shear {number(whole, 3)}, {word} {number(abs(pull), 3)}{more} {label}",
        "force": whole,
        "pull": pull,
        "unit": label,
        "at": bolts.mean(axis=0).tolist(),
        "direction": (shear / whole).tolist() if whole > 0 else None,
        "bolts": bolts.tolist(),
    }


def _middle(section: Section) -> Array:
    x0, y0, x1, y1 = section.bounds()
    return np.array([(x0 + x1) / 2, (y0 + y1) / 2])
