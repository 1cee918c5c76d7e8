"""What the solving process can be asked for, by the word of a job's `do`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ..geometry.section import Section
from ..geometry.section_file.kinds import MEMBER, SECTION, kind_of
from ..geometry.section_file.section_file import section_from_table
from ..geometry.section_file.text import parsed
from ..solver.section import solve_section
from .dials import SolvedTorsion, readings
from .errand import Errand
from .handles import handles
from .picture import drawing, field_data

Job = dict[str, Any]

#: Seconds without a new wish after which the hand is taken to rest.
REST = 0.15
#: Samples through a mean wall while the hand moves, and at rest.
_COARSE, _FINE = 4, 9
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
    section = section_of({"text": _FIRST, "home": None, "name": "warm"})
    field_data(SolvedTorsion.coarse(section), _COARSE)


def section_of(job: Job) -> Section:
    """The section that a job's text describes."""
    text = job["text"]
    home = None if job["home"] is None else Path(job["home"])
    return section_from_table(parsed(text), text, job["name"], None, home)


def sheet(job: Job, errand: Errand) -> None:
    """The outline at once, numbers and field at coarse accuracy, and all of it again when the hand
    rests."""
    table = parsed(job["text"])
    kind = kind_of(table)
    if kind == SECTION:
        section = section_of(job)
        errand.tell("drawing", **drawing(section), handles=handles(table, job["text"], section))
        solved = SolvedTorsion.coarse(section)
        errand.tell("result", stage="coarse", values=readings(solved),
                  field=field_data(solved, _COARSE))  # fmt: skip
        errand.rest(REST)
        full = SolvedTorsion.full(solve_section(section))
        errand.tell("result", stage="full", values=readings(full), field=field_data(full, _FINE))
    elif kind == MEMBER:
        errand.tell("refused", words="members are not shown yet", place=None, line=None)


JOBS = {"sheet": sheet}
