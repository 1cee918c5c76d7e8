"""What the solving process keeps of the last sheet, so that a push of it waits for nothing."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..geometry.section import Section
from ..solver.member.model.constants import SectionConstants
from ..solver.member.model.section_source import sheared_constants
from ..solver.section import SectionResult, solve_section
from ..solver.section.stress.unit_stress import UnitStress, unit_stress
from .dials import SolvedTorsion
from .pushing import Cantilever, quick_constants

Key = tuple[str, str | None]


@dataclass(slots=True)
class KeptSection:
    """A section that a text describes, and what has been found of it so far."""

    section: Section
    before: SolvedTorsion | None = None
    quick: SolvedTorsion | None = None
    result: SectionResult | None = None
    _units: UnitStress | None = None
    _constants: dict[bool, SectionConstants] = field(default_factory=dict)
    _beams: dict[tuple[bool, float], Cantilever] = field(default_factory=dict)

    def coarse(self) -> SolvedTorsion:
        """At coarse accuracy, on the mesh of the section before where it can follow."""
        if self.quick is None:
            self.quick = SolvedTorsion.coarse(self.section, self.before)
            self.before = None
        return self.quick

    def full(self) -> SectionResult:
        """At full accuracy."""
        if self.result is None:
            self.result = solve_section(self.section)
        return self.result

    def units(self) -> UnitStress:
        """The fields of the eight actions."""
        if self._units is None:
            self._units = unit_stress(self.full())
        return self._units

    def beam(self, length: float) -> tuple[Cantilever, bool]:
        """A cantilever of the section, and whether it is that of a full solution."""
        full = self.result is not None
        if full not in self._constants:
            self._constants[full] = (
                sheared_constants(self.units()) if full else quick_constants(self.coarse())
            )
        key = (full, length)
        if key not in self._beams:
            self._beams = {key: Cantilever.of(self._constants[full], length)}
        return self._beams[key], full


_last: dict[Key, KeptSection] = {}


def kept(key: Key, section: Section) -> KeptSection:
    """What is kept of a text in a folder, which stands for the last one from now on."""
    if key not in _last:
        before = next(iter(_last.values())).quick if _last else None
        _last.clear()
        _last[key] = KeptSection(section, before)
    return _last[key]


def known(key: Key) -> KeptSection | None:
    """What is kept of a text, if it was the last one."""
    return _last.get(key)
