"""One stage of building: which loads come, what is not there, and which sections stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from ....geometry.errors import InputError
from ..model.load import Load
from ..model.member import Member, Restraint, Segment
from ..model.secondary_beam import SecondaryBeam
from ..model.solved_section import SolvedSection


@dataclass(frozen=True, slots=True)
class Stage:
    """What is peculiar to one stage.

    Attributes
    ----------
    name : str
    cases : tuple of str
        Load cases that are applied in this stage, and stay.
    without : tuple of str
        Titles of supports, restraints and diaphragms that are not there in this stage.
    sections : mapping
        From a section of the finished member to the one that stands in its place now.
    """

    name: str
    cases: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    sections: Mapping[str, str] = field(default_factory=dict)

    def standing(
        self, member: Member, sections: Mapping[str, SolvedSection], loads: Iterable[Load] = ()
    ) -> Member:
        """The member of this stage, under its own loads and those given besides."""
        return member.with_(
            segments=tuple(self._segment(s, sections) for s in member.segments),
            supports=tuple(s for s in member.supports if s.title not in self.without),
            restraints=tuple(
                self._loaded(r) for r in member.restraints if r.title not in self.without
            ),
            diaphragms=tuple(d for d in member.diaphragms if d.title not in self.without),
            loads=(*(x for x in member.loads if x.case in self.cases), *loads),
            combinations=(),
        )

    def _loaded(self, restraint: Restraint) -> Restraint:
        """A secondary beam under the loads of this stage alone."""
        if not isinstance(restraint, SecondaryBeam):
            return restraint
        own = {case: w for case, w in restraint.loads.items() if case in self.cases}
        return replace(restraint, loads=own)

    def _segment(self, segment: Segment, sections: Mapping[str, SolvedSection]) -> Segment:
        end = segment.section_end
        return replace(
            segment,
            section=self._other(segment.section.name, sections),
            section_end=None if end is None else self._other(end.name, sections),
        )

    def _other(self, name: str, sections: Mapping[str, SolvedSection]):  # type: ignore[no-untyped-def]
        return sections[self.sections.get(name, name)].constants


def check_stages(
    stages: Sequence[Stage], member: Member, sections: Iterable[str]
) -> tuple[Stage, ...]:
    """The stages with every load case in one of them; cases that none names come in the last.

    Raises
    ------
    InputError
        A name that the member does not have, a case in two stages, a deck that is taken away.
    """
    if not stages:
        return ()
    known = [
        *(s.title for s in member.supports),
        *(r.title for r in member.restraints),
        *(d.title for d in member.diaphragms),
    ]
    used = {s.section.name for s in member.segments}
    used |= {s.section_end.name for s in member.segments if s.section_end is not None}
    seen: dict[str, str] = {}
    names = [stage.name for stage in stages]
    for n, stage in enumerate(stages, 1):
        where = f"stage {n} ({stage.name!r})"
        if names.count(stage.name) > 1:
            raise InputError(f"{where}: two stages bear this name; rename one")
        for case in stage.cases:
            if case not in member.cases:
                raise InputError(
                    f"{where}: no load is of case {case!r}; cases are {', '.join(member.cases)}"
                )
            if case in seen:
                raise InputError(
                    f"{where}: case {case!r} is applied in stage {seen[case]!r} already; a load "
                    "is applied once and stays"
                )
            seen[case] = stage.name
        for title in stage.without:
            if title not in known:
                raise InputError(
                    f"{where}: without names {title!r}, which the member does not have; there are "
                    f"{', '.join(known)}"
                )
        for old, new in stage.sections.items():
            for name, all_of in ((old, used), (new, set(sections))):
                if name not in all_of:
                    raise InputError(
                        f"{where}: there is no section {name!r} to stand for another; there are "
                        f"{', '.join(sorted(all_of))}"
                    )
    _check_order(stages, member)
    last = stages[-1]
    rest = tuple(case for case in member.cases if case not in seen)
    whole = (*stages[:-1], replace(last, cases=(*last.cases, *rest)))
    for n, stage in enumerate(whole, 1):
        _check_beams(stage, member, f"stage {n} ({stage.name!r})")
    return whole


def _check_beams(stage: Stage, member: Member, where: str) -> None:
    """A secondary beam's load comes while the beam stands: else nobody would carry it."""
    for beam in member.restraints:
        if not isinstance(beam, SecondaryBeam) or beam.title not in stage.without:
            continue
        lost = [case for case in stage.cases if beam.loads.get(case)]
        if lost:
            raise InputError(
                f"{where}: the load of {beam.title!r} is of case {lost[0]!r}, which comes in this "
                "stage without the beam, and would be lost; give that load a case of its own and "
                "apply it where the beam stands"
            )


def _check_order(stages: Sequence[Stage], member: Member) -> None:
    """What may be taken away again: supports and springs at a station alone."""
    points = {s.title for s in member.supports}
    points |= {r.title for r in member.restraints if hasattr(r, "at")}
    for n, (before, after) in enumerate(pairwise(stages), 2):
        for title in after.without:
            if title not in before.without and title not in points:
                raise InputError(
                    f"stage {n} ({after.name!r}): {title!r} stands in the stage before and is "
                    "taken away; what a deck or a diaphragm has taken up cannot be given back to "
                    "the member here: leave it there, or leave it out from the start"
                )
