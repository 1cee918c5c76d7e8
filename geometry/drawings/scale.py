"""The length unit of a drawing: the one asked for, else the one the file declares, else an
error."""

from __future__ import annotations

from ..errors import UnitError
from ..quantity import LENGTHS


def drawing_unit(asked: str | None, declared: str | None, silent: str) -> tuple[str, list[str]]:
    """The unit of the coordinates and, where the two disagree, a note that says so.

    Parameters
    ----------
    asked : str, optional
        What the user says the coordinates are in. It wins: files often carry a template's unit.
    declared : str, optional
        What the file says.
    silent : str
        Why the file does not say, for the error: "its header has no $INSUNITS".

    Raises
    ------
    UnitError
        If the unit is unknown, or nobody names one.
    """
    for unit in (asked, declared):
        if unit and unit not in LENGTHS:
            raise UnitError(
                f"length unit {unit[:40]!r} is not known; use one of {', '.join(LENGTHS)}"
            )
    if asked:
        differs = declared and declared != asked
        return asked, [f"the file declares {declared}; read in {asked} as asked"] if differs else []
    if not declared:
        raise UnitError(
            f"the drawing names no length unit ({silent}); give one with --unit, like --unit mm"
        )
    return declared, []
