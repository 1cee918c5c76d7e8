"""Constants of a section for a member, from the cache where they are known: they cost a whole
solution, and a member's twist and movement need nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError
from ...member.model.constants import SectionConstants
from ...member.model.faces import Faces
from ...member.model.solved_section import SolvedSection, solved_section
from .cache import RecordCache
from .content import digest, section_key

if TYPE_CHECKING:
    from ....geometry.section import Section

_POINTS = ("centroid", "shear_centre")
#: What is kept; faces are found again from the outline.
_NAMES = tuple(f.name for f in fields(SectionConstants) if f.name not in ("faces", "outline"))


def section_constants(
    section: Section, accuracy: float, cache: RecordCache | None
) -> tuple[SectionConstants, SolvedSection | None]:
    """Constants of a section, and the solved section itself where it had to be solved.

    Raises
    ------
    SoapfilmError
        As `solved_section` does.
    """
    key = digest("member constants", section_key(section, accuracy))
    record = None if cache is None else cache.get(key)
    if record is not None:
        try:
            found = replace(_constants(record), faces=Faces.of(section), outline=section)
            return found, None
        except InputError:
            pass  # not a record of ours: solve and write it anew
    solved = solved_section(section, section.name, accuracy)
    if cache is not None:
        cache.put(key, {name: getattr(solved.constants, name) for name in _NAMES})
    return solved.constants, solved


def _constants(record: Mapping[str, Any]) -> SectionConstants:
    if set(record) != set(_NAMES):
        raise InputError("not a record of section constants")
    values = dict(record)
    for name, value in values.items():
        if name in _POINTS:
            if not isinstance(value, list) or len(value) != 2:
                raise InputError("not a record of section constants")
            values[name] = (float(value[0]), float(value[1]))
        elif name != "name" and not (value is None or isinstance(value, (int, float))):
            raise InputError("not a record of section constants")
    return SectionConstants(**values)
