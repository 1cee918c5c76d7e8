"""Columns of a study's table in words, with the unit of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...geometry.units import Units
from ..data_table import DataTable
from ..number_column import NumberColumn
from ..section.vocabulary import SECTION_QUANTITIES, settled, unit_of
from ..text.number import displayed, unit_text

if TYPE_CHECKING:
    from ...solver.study.run.store import Store
    from ...solver.study.run.sweep import Study

#: Lengths among the results of a member.
_LENGTHS = ("displacement", "deflection")
_DEGREES = ("twist_deg",)
#: Quantities whose units take force or mass with them: they are shown in what engineers read.
_WITH_FORCE = ("mass per length", "stress", "mass")
#: What a summary shows, in order, where the study has it.
MAIN = (
    "area", "mass_per_length", "torsion_constant", "torsion_modulus", "warping_constant",
    "mean_lever_arm", "mass", "twist_deg", "twist_deg_classical", "displacement",
    "displacement_classical", "deflection", "deflection_classical", "stress", "stress_classical",
    "limit_used", "limit_used_classical",
)  # fmt: skip
#: And where a limit asks for it.
BUCKLING = ("critical_factor", "critical_factor_classical")
#: How a frequency's name ends that a limit asks for.
HERTZ = "_hertz"
#: How a result's name ends that is the classical theory's.
_CLASSICAL = "_classical"


def column_words(column: str) -> str:
    """A column's name as words."""
    bare = column.removesuffix(_CLASSICAL)
    if bare.endswith(HERTZ):
        return f"frequency of {bare.removesuffix(HERTZ).replace('_', ' ')}"
    words = bare.removesuffix("_deg").replace("_", " ")
    return words if bare == column else f"{words}, classical theory"


def column_unit(column: str, length: str) -> tuple[str, float]:
    """Unit in which engineers read a result, and the factor that takes a study's number there.

    Parameters
    ----------
    column : str
        A result's name.
    length : str
        Length unit of the study; its rows hold the consistent units that go with it.

    Returns
    -------
    tuple of (str, float)
        "" and 1 where it has no unit, or none is known.

    Examples
    --------
    >>> column_unit("stress", "m"), column_unit("area", "mm")
    (('MPa', 1e-06), ('mm²', 1.0))
    """
    bare = column.removesuffix(_CLASSICAL)
    known = SECTION_QUANTITIES.get(bare)
    quantity = bare if known is None else known.quantity
    if quantity in _WITH_FORCE:
        return displayed(length, quantity)
    return unit_text(plain_unit(column, length)), 1.0


def plain_unit(column: str, length: str) -> str:
    """The consistent unit in which a study's rows hold a result, in plain letters ("mm^4")."""
    column = column.removesuffix(_CLASSICAL)
    if column.endswith(HERTZ):
        return "Hz"
    if column in _DEGREES:
        return "deg"
    if column in SECTION_QUANTITIES:
        return unit_of(column, length)
    if column in _LENGTHS or not length:
        return length if column in _LENGTHS else ""
    units = Units(length)
    return {"mass": units.mass, "stress": units.label("stress")}.get(column, "")


def with_unit(column: str, length: str) -> str:
    """A column's words and its unit in brackets."""
    unit, _ = column_unit(column, length)
    return f"{column_words(column)} ({unit})" if unit else column_words(column)


def study_table(study: Study, store: Store) -> DataTable:
    """Finished rows in the order of their points, rounding noise as 0."""
    names, kinds = store.columns, store.kinds()
    columns: dict[str, Any] = {
        name: NumberColumn() if kinds[name] == {"real"} else [] for name in names
    }
    settles = "torsion_constant" in store.results
    for values in store.rows():
        row = dict(zip(names, values, strict=True))
        if settles and not row["error"]:
            row |= settled(row)
        for name, column in columns.items():
            column.append(row[name])
    units = {name: plain_unit(name, study.base.unit) for name in store.results} | {"seconds": "s"}
    return DataTable(columns, {name: unit for name, unit in units.items() if unit}, study.name)
