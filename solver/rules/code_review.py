"""Design codes applied to a solved member: the rows of each code, section by section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..member.beam.solution import Solution
from ..member.beam.stations import SegmentStations
from ..member.model.solved_section import SolvedSection
from .american_steel import AmericanSteel
from .applied_rule import AppliedRule
from .european_concrete import EuropeanConcrete
from .european_steel import EuropeanSteel
from .plate_shape import plate_shape
from .stretch import StressAlong, Stretch

Array = NDArray[np.float64]

Code = EuropeanSteel | AmericanSteel | EuropeanConcrete


@dataclass(frozen=True, slots=True, eq=False)
class CodeReview:
    """What one code says of a member.

    Attributes
    ----------
    code : Code
    rows : tuple of AppliedRule
        The worst of each rule and section.
    left_out : tuple of str
        What is not judged, and why; what stands beside a rule.
    theory : str
        Whose stresses the rules on stress use.
    """

    code: Code
    rows: tuple[AppliedRule, ...]
    left_out: tuple[str, ...]
    theory: str

    @property
    def passed(self) -> bool:
        """Whether every rule that was applied is met."""
        return all(row.verdict.passed for row in self.rows)


def code_reviews(
    codes: Sequence[Code],
    solution: Solution,
    parts: Sequence[SegmentStations],
    stress: StressAlong | None,
    sections: Mapping[str, SolvedSection],
    *,
    deforming: bool,
    megapascal: float,
) -> tuple[CodeReview, ...]:
    """Apply every code the file names.

    Parameters
    ----------
    stress : StressAlong or None
        Of the whole member for all combinations, by the leading theory; None where a section is
        known by its figures alone.
    deforming : bool
        Whether that theory lets sections deform.
    megapascal : float
        1 MPa in the member's unit of stress.
    """
    critical = {c.name: c.factor for c in solution.critical}
    member = solution.mesh.member
    theory = "sections that deform" if deforming else "sections that keep their shape"
    found = []
    for code in codes:
        columns = [
            n for n, name in enumerate(solution.names)
            if not code.combinations or name in code.combinations
        ]  # fmt: skip
        rows: list[AppliedRule] = []
        left_out: list[str] = []
        for part in parts:
            section = sections[part.segment.section.name]
            reason = _unfit(code, part, section)
            if reason or stress is None:
                left_out.append(reason or "a section is given by its figures alone")
                continue
            own = (stress.z >= part.segment.start) & (stress.z <= part.segment.end)
            if not own.any():
                continue
            assert section.result is not None
            stretch = Stretch(
                section,
                plate_shape(section.result.section),
                part.table.z,
                part.table.actions[:, columns],
                part.table.phi[:, columns],
                StressAlong(
                    stress.z[own],
                    *(
                        getattr(stress, word)[own][:, columns]
                        for word in ("mises", "shear", "tension", "compression")
                    ),
                ),
                np.array([critical.get(solution.names[n], np.inf) for n in columns]),
                tuple(solution.names[n] for n in columns),
                megapascal,
                not member.axis.curved,
                member.length,
            )
            more, without = code.rules(stretch)
            rows += more
            left_out += without
        found.append(CodeReview(code, _worst(rows), tuple(dict.fromkeys(left_out)), theory))
    return tuple(found)


def _worst(rows: Sequence[AppliedRule]) -> tuple[AppliedRule, ...]:
    """Of stretches with the same section and rule, the one used most."""
    best: dict[tuple[str, str], AppliedRule] = {}
    for row in rows:
        key = (row.section, row.rule)
        if key not in best or row.verdict.ratio > best[key].verdict.ratio:
            best[key] = row
    return tuple(best.values())


def _unfit(code: Code, part: SegmentStations, section: SolvedSection) -> str:
    """Why a stretch is not judged, "" where it can be."""
    name = section.name
    if section.result is None or section.search is None:
        return f"section {name!r} is given by its figures alone: rules need its outline"
    if part.segment.section_end is not None:
        return f"section {name!r} tapers: rules are written for even sections; judge its ends"
    if section.result.is_composite:
        return f"section {name!r} is of several materials, which the rules do not cover"
    material = section.result.reference
    concrete = "compression" in material.source or "concrete" in material.source.lower()
    if isinstance(code, EuropeanConcrete):
        if material.source and not concrete:
            return f"section {name!r} is of {material.name!r}: no code for concrete judges it"
        return ""
    if concrete:
        return f"section {name!r} is of {material.name!r}: a code for steel does not judge it"
    if not section.has_strength:
        return f"material {material.name!r} of section {name!r} states no strength; give it one"
    return ""
