"""Jobs about a section: the sheet under the hand, several side by side, a push, a cut, files."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from ..geometry.checks.contact_only import contact_only_parts
from ..geometry.errors import InputError
from ..geometry.section import Section
from ..geometry.section_file.preview import parts_seen
from ..geometry.section_file.section_file import section_from_table
from ..geometry.section_file.text import parsed
from ..geometry.units import Units
from ..report.page.packing import floats
from ..solver.joint.detail import JointDetail
from ..solver.section import solve_section
from .dials import SolvedTorsion, part_readings, readings
from .errand import Errand
from .handles import handles
from .kept import kept, known
from .own_joint import detail_of
from .picture import action_fields, drawing, field_data
from .pushing import check_stiffness, pushed
from .wall_cut import toggled

Job = dict[str, Any]

#: Seconds without a new wish after which the hand is taken to rest.
REST = 0.15
#: Samples through a mean wall while the hand moves, and at rest.
_COARSE, _FINE = 2, 9
#: The longest member that is pushed, in the section's sizes.
_LONGEST = 1e4


def section_of(job: Job) -> Section:
    """The section that a job's text describes."""
    return _section(parsed(job["text"]), job)


def _section(table: Mapping[str, Any], job: Job) -> Section:
    home = None if job["home"] is None else Path(job["home"])
    return section_from_table(table, job["text"], job["name"], None, home)


def section_sheet(table: Mapping[str, Any], job: Job, errand: Errand) -> None:
    """The outline at once, numbers and field at coarse accuracy, and all of it again when the hand
    rests. While it holds a handle the others are out of sight and wait for it to let go."""
    try:
        section = _section(table, job)
    except InputError:
        _tell_parts_seen(table, job, errand)
        raise
    drawn = drawing(section)
    found = {} if job.get("held") else {"handles": handles(table, job["text"], section)}
    errand.tell("drawing", **drawn, **found)
    bodies = contact_only_parts(section)
    if len(bodies) > 1:
        _tell_parts(section, bodies, errand)
        return
    mine = kept(_key(job), section)
    solved = mine.coarse()
    errand.tell("result", stage="coarse", values=readings(solved),
                field=field_data([solved], section, _COARSE, drawn))  # fmt: skip
    errand.rest(REST)
    full = SolvedTorsion.full(mine.full())
    values, field = readings(full), field_data([full], section, _FINE)
    errand.tell("result", stage="full", values=values, field=field)
    materials = [r.material.specified for r in section.regions]
    if any(materials) and not all(materials):
        return  # stresses of other actions would mean nothing
    errand.rest(REST)
    errand.tell("result", stage="full", values=values, field=action_fields(field, mine.units()))


def _tell_parts_seen(table: Mapping[str, Any], job: Job, errand: Errand) -> None:
    """What can be drawn of a text that makes no section, so that it can be dragged right again."""
    with suppress(InputError):
        home = None if job["home"] is None else Path(job["home"])
        seen = parts_seen(job["text"], None, home, job["name"])
        if seen is None or seen.section is None:
            return
        found = handles(table, job["text"], seen.section)
        shown = drawing(seen.section) | {"loose": [floats(run) for run in seen.loose]}
        errand.tell("drawing", **shown, handles=found, valid=False)


def _tell_parts(section: Section, bodies: tuple[Section, ...], errand: Errand) -> None:
    """Parts that touch and are not joined twist together and share nothing else."""
    coarse = [SolvedTorsion.coarse(body) for body in bodies]
    errand.tell("result", stage="coarse", values=part_readings(coarse),
                field=field_data(coarse, section, _COARSE))  # fmt: skip
    errand.rest(REST)
    full = [SolvedTorsion.full(solve_section(body)) for body in bodies]
    errand.tell("result", stage="full", values=part_readings(full),
                field=field_data(full, section, _FINE))  # fmt: skip


def beside(job: Job, errand: Errand) -> None:
    """One of several sections side by side, at full accuracy."""
    section = section_of(job)
    bodies = contact_only_parts(section)
    solved = [SolvedTorsion.full(solve_section(body)) for body in bodies]
    values = readings(solved[0]) if len(solved) == 1 else part_readings(solved)
    errand.tell("beside", name=section.name, text=job["text"], values=values,
                field=field_data(solved, section, _FINE))  # fmt: skip


def push(job: Job, errand: Errand) -> None:
    """A force at the end of a cantilever of the section; of a section that is not yet solved in
    full without its shear deformation."""
    mine = known(_key(job))
    if mine is None:
        section = section_of(job)
        if len(contact_only_parts(section)) > 1:
            raise InputError("the parts are in contact only and do not act as one; join them first")
        mine = kept(_key(job), section)
    section = mine.section
    check_stiffness(section)
    length = Units(section.unit).read(job["length"], "length", what="length", bare=section.unit)
    if not 0 < length <= _LONGEST * section.size():
        raise InputError("a member's length is positive, and not ten thousand times its depth")
    beam, full = mine.beam(length)
    errand.tell("pushed", count=job.get("count"), stage="full" if full else "coarse",
                **pushed(section, beam, job["force"], job["at"], _joint(job)))  # fmt: skip


def _joint(job: Job) -> JointDetail | None:
    """The end connection that is asked for, of a joint file's text."""
    given = job.get("joint")
    return None if given is None else detail_of(given["text"], given["name"])


def slit(job: Job, errand: Errand) -> None:
    """The text with a wall cut through or closed again, for the desk to take over."""
    errand.tell("cut", text=toggled(job["text"], section_of(job), job["at"]))


def export(job: Job, errand: Errand) -> None:
    """The section's report page as a file."""
    section = section_of(job)
    if len(contact_only_parts(section)) > 1:
        raise InputError("the parts are in contact only; join them before this is reported")
    result = kept(_key(job), section).full()
    from ..report.page.section_report import section_report
    from .exporting import tell_report

    tell_report(errand, result.section.name, lambda origin: section_report(result, origin))


def _key(job: Job) -> tuple[str, str | None]:
    return job["text"], job["home"]
