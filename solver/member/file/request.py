"""What a member file asks for: the member, its solved sections, and what to do with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Literal

from ....geometry.notebook_table import notebook_table
from ....geometry.plain_record import plain_record
from ....geometry.units import Units
from ..critical.imperfection import Imperfection
from ..model.member import Member
from ..model.moving import Crowd, Vehicle
from ..model.secondary_beam import SecondaryBeam
from ..model.solved_section import SolvedSection
from ..model.variable import VariableCombination
from ..review.critical_limit import CriticalLimit
from ..review.frequency_limit import FrequencyLimit
from ..review.movement_limits import Limit
from ..review.stress_limit import StressLimit
from ..review.weld_flow import WeldDemand
from ..staged.stage import Stage

if TYPE_CHECKING:
    from ...joint.joint_spec import JointSpec
    from ...rules.code_review import Code


@dataclass(frozen=True, slots=True, eq=False)
class MemberRequest:
    """A member file, read and with its sections solved.

    Attributes
    ----------
    member : Member
        In the consistent units of `units`.
    units : Units
    sections : mapping of str to SolvedSection
        The sections the member is made of.
    alternatives : mapping of str to SolvedSection
        Sections that the file defines and no segment uses: tried as remedies.
    limits : tuple of Limit or StressLimit
    secondary : SecondaryBeam, float or None
        A moment-connected secondary beam, tried as a remedy; or its stiffness alone.
    order : "first" or "second"
    stations : int
        About so many along the member in figures, tables and the stress envelope.
    welds : WeldDemand or None
        Strength and pitch of welds, for their use and the length that they need.
    keep_shape : bool
        Whether the classical theory alone is asked for.
    codes : tuple of Code
        Design codes whose rules are to be applied.
    frequencies : tuple of FrequencyLimit
        Least natural frequencies.
    critical : tuple of CriticalLimit
        Least critical load factors.
    joints : tuple of JointSpec
        Of the file, which supports and secondary beams name.
    stages : tuple of Stage
        In order of building; none for a member that stands and is loaded at once.
    imperfection : Imperfection or None
        In second order, in the shape of the buckling mode.
    vehicles, crowds : tuple of Vehicle, Crowd
        Moving loads.
    variable : tuple of VariableCombination
        All combinations of the file as their envelope takes them.
    """

    member: Member
    units: Units
    sections: Mapping[str, SolvedSection]
    alternatives: Mapping[str, SolvedSection]
    limits: tuple[Limit | StressLimit, ...]
    secondary: SecondaryBeam | float | None
    order: Literal["first", "second"]
    stations: int
    keep_shape: bool = False
    codes: tuple[Code, ...] = ()
    stages: tuple[Stage, ...] = ()
    welds: WeldDemand | None = None
    frequencies: tuple[FrequencyLimit, ...] = ()
    critical: tuple[CriticalLimit, ...] = ()
    imperfection: Imperfection | None = None
    joints: tuple[JointSpec, ...] = ()
    vehicles: tuple[Vehicle, ...] = ()
    crowds: tuple[Crowd, ...] = ()
    variable: tuple[VariableCombination, ...] = ()

    @property
    def travels(self) -> bool:
        """Whether a combination holds more than what is solved as it stands: loads that travel,
        parts that come and go, or a standard's set."""
        return any(not v.solved for v in self.variable)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: the member with its loads, supports and limits, in consistent units."""
        left_out = ("sections", "alternatives")
        given = {f.name: getattr(self, f.name) for f in fields(self) if f.name not in left_out}
        record = plain_record(given)
        for segment in record["member"]["segments"]:  # sections by their names, told once below
            for end in ("section", "section_end"):
                segment[end] = segment[end] and segment[end]["name"]
        sections = {}
        for name, section in self.sections.items():
            constants = plain_record(section.constants)
            sections[name] = {k: v for k, v in constants.items() if not isinstance(v, (dict, list))}
        return {"format": "soapfilm member input 1", **record, "sections": sections}

    def __repr__(self) -> str:
        (_, length), (_, sections), *counts = [(w, v) for w, _, v in self._facts()]
        rest = [length, f"sections {sections}", *(f"{n} {word}" for word, n in counts)]
        return f"MemberRequest({self.member.name!r}, {', '.join(rest)})"

    def _repr_html_(self) -> str:
        return notebook_table(self.member.name, self._facts())

    def _facts(self) -> list[tuple[str, str, str]]:
        """Words, symbol and value of what a reader wants to see first."""
        member = self.member
        counts = {
            "support": len(member.supports), "load": len(member.loads),
            "combination": len(member.combined), "limit": len(self.limits),
            "stage": len(self.stages),
        }  # fmt: skip
        rows = [("length", "L", f"{member.length:.6g} {self.units.length}")]
        rows.append(("sections", "", ", ".join(self.sections)))
        return rows + [(word + "s" * (n != 1), "", str(n)) for word, n in counts.items() if n]
