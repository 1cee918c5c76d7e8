"""Joints of a member file, and what supports and secondary beams take from them by name.

::

    [[joint]]                      # keys as in a joint file (see `solver.joint.joint_table`)
    name = "joist fin"
    kind = "fin plate"
    ...

    [[secondary_beam]]
    joint = "joist fin"            # its stiffness and slip, in place of connection and clearance;
    place = "right face"           # the face that the joint is fixed to: the end shear acts at its
                                   # bolts, that much farther out

    [[support]]
    at = "start"                   # an end of the member
    joint = "girder end"           # x and y held; twist and bend_x by its stiffness, with its slip
                                   # in twist; what the support states itself stands
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ....geometry.units import Units
from ..model.load import Place, Where

if TYPE_CHECKING:
    from ...joint.detail import JointDetail
    from ...joint.joint_spec import JointSpec

_INSIDE = Units("mm")
#: Keys of a secondary beam that say what its joint says.
_CONNECTION = ("connection", "slip", "clearance", "clearance_arm")


@dataclass(frozen=True, slots=True)
class NamedJoints:
    """The joints of a file, in mm and N, and the units of what they are given to."""

    specs: tuple[JointSpec, ...]
    units: Units

    @classmethod
    def of(cls, table: Mapping[str, Any], units: Units) -> NamedJoints:
        """Of a member file's tables."""
        if "joint" not in table:
            return cls((), units)
        from ...joint.joint_file import specs_of

        return cls(specs_of(table, units), units)

    def named(self, entry: Entry) -> JointDetail | None:
        """The joint that key `joint` names, None without it."""
        if not entry.has("joint"):
            return None
        from ...joint.joint_file import named_spec
        from ...joint.library import joint_detail

        return joint_detail(named_spec(self.specs, entry.text("joint")))

    def of_beam(self, entry: Entry) -> JointDetail | None:
        """The joint of a secondary beam, which then states no connection of its own."""
        found = self.named(entry)
        if found is not None:
            entry.need("place", '"right face" (that the joint is fixed to)')
            for key in _CONNECTION:
                if key in entry.table:
                    raise InputError(f"give either joint or {key}, not both; the joint tells it")
        return found

    def connection(self, detail: JointDetail) -> tuple[float | None, float]:
        """Rotational stiffness (None is rigid, 0 a pin) and slip."""
        stiffness = detail.rotational_stiffness
        if stiffness <= 0 or math.isinf(detail.rotation_slip):
            return 0.0, 0.0
        if math.isinf(stiffness):
            return None, detail.rotation_slip
        return stiffness * self._moment, detail.rotation_slip

    def bolts_of(self, detail: JointDetail, place: Where, side: str) -> Where:
        """The place of a joint's bolts, from that of the face it is fixed to."""
        out = detail.hinge * _INSIDE.factor("length", self.units.length)
        out = out if side == "right" else -out
        if isinstance(place, Place):
            return replace(place, dx=place.dx + out)
        return (place[0] + out, place[1])

    def holds(self, detail: JointDetail) -> dict[str, Any]:
        """What a joint at the end of a member holds, as keys of a support."""
        held: dict[str, Any] = {"x": "held", "y": "held", "twist_slip": 0.0, "twist": "free"}
        twist = detail.torsional_stiffness
        if twist > 0 and not math.isinf(detail.torsion_slip):
            held["twist"] = "held" if math.isinf(twist) else twist * self._moment
            held["twist_slip"] = detail.torsion_slip
        stiffness = detail.rotational_stiffness
        # A joint that slips first is a hinge: supports have no slip in bending.
        if stiffness > 0 and detail.rotation_slip == 0:
            held["bend_x"] = "held" if math.isinf(stiffness) else stiffness * self._moment
        return held

    @property
    def _moment(self) -> float:
        """From N mm to the file's own unit of moments."""
        return 1 / self.units.factor("moment", "N*mm")


def check_end(at: float, length: float, shown: str) -> None:
    """A joint stands at an end of the member, where it is seen from the right side."""
    if min(abs(at), abs(at - length)) > 1e-9 * length:
        raise InputError(
            f"a support with a joint stands at an end of the member, not at {shown}; give the "
            "support its own stiffnesses"
        )
