"""What the solving process can be asked for, by the word of a job's `do`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ..geometry.errors import InputError
from ..geometry.section_file.kinds import MEMBER, SECTION, kind_of, refuse_other_kinds
from ..geometry.section_file.text import parsed
from . import member_jobs, section_jobs
from .dials import SolvedTorsion
from .dropping import drop
from .errand import Errand
from .picture import field_data

Job = dict[str, Any]

_FIRST = """unit = "mm"
[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7
FlangeThickness = 11
FilletRadius = 15
"""


def warm() -> None:
    """Load every library and fill what is kept, so that the first answer is as fast as others."""
    section = section_jobs.section_of({"text": _FIRST, "home": None, "name": "warm"})
    field_data([SolvedTorsion.coarse(section)], section, 4)


def sheet(job: Job, errand: Errand) -> None:
    """What the sheet describes, by its kind."""
    table = parsed(job["text"])
    if kind_of(table) == MEMBER:
        member_jobs.member_sheet(job, errand)
        return
    refuse_other_kinds(table, SECTION, MEMBER)
    section_jobs.section_sheet(table, job, errand)


def export(job: Job, errand: Errand) -> None:
    """A picture of what is seen, or the report page of what the sheet describes."""
    from .exporting import PICTURES, tell_picture

    if job["what"] in PICTURES:
        tell_picture(errand, job)
        return
    if job["what"] != "report":
        raise InputError(f"what is seen is written as {', '.join(PICTURES)} or report")
    member = kind_of(parsed(job["text"])) == MEMBER
    (member_jobs.export if member else section_jobs.export)(job, errand)


JOBS: Mapping[str, Callable[[Job, Errand], None]] = {
    "sheet": sheet,
    "beside": section_jobs.beside,
    "push": section_jobs.push,
    "slit": section_jobs.slit,
    "modes": member_jobs.modes,
    "export": export,
    "drop": drop,
}
