"""Properties of a section, from the cache where it is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ....geometry.errors import InputError, SolveError
from ...accuracy import STUDY_ACCURACY
from .cache import RecordCache
from .content import section_key
from .properties import Properties

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...section.result import SectionResult


def solved_properties(
    section: Section, accuracy: float = STUDY_ACCURACY, cache: RecordCache | None = None
) -> Properties:
    """Solve a section, or look it up.

    Parameters
    ----------
    section : Section
    accuracy : float
        Relative width asked of J's interval.
    cache : RecordCache, optional

    Raises
    ------
    GeometryError, SolveError
        As `solve_section` does; failures are not cached.
    """
    if cache is None:
        return _solved(section, accuracy)
    key = section_key(section, accuracy)
    record = cache.get(key)
    if record is not None:
        try:
            return Properties.from_record(record)
        except InputError:
            pass  # not a record of ours: solve and write it anew
    properties = _solved(section, accuracy)
    cache.put(key, properties.record())
    return properties


def _solved(section: Section, accuracy: float) -> Properties:
    from ...section import solve_section

    return met_properties(solve_section(section, accuracy), accuracy)


def met_properties(result: SectionResult, accuracy: float) -> Properties:
    """The numbers of a result that has the accuracy.

    Raises
    ------
    SolveError
        If it does not.
    """
    if not result.solver.met:
        raise SolveError(
            f"J is known to {result.solver.reached:.1e} of itself only, not to the {accuracy:.1e} "
            "asked for; ask for less (accuracy)"
        )
    return Properties.of(result)
