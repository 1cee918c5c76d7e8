"""Stresses of a section under load cases."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.notebook_table import notebook_grid
from .geometry.units import Units
from .leaving import Framed, Paged
from .report.data_table import DataTable
from .report.section.notebook import Drawing
from .report.stress.extreme_table import (
    components_at,
    extreme_table,
    point_table,
    settled_extreme,
    stress_unit,
)
from .report.stress.field_arrays import THROUGH_WALL, SectionFields, fields_at, sampled_fields
from .report.text.number import number
from .solver.section.stress.actions import NAMES, SYMBOLS, Actions
from .solver.section.stress.components import component_of
from .value import Value

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from .report.page.document import Document
    from .report.page.origin import Origin
    from .solver.section.stress.load_cases import CaseStress, StressResult


@dataclass(frozen=True, slots=True, eq=False)
class StressSolution(Framed, Paged):
    """Stresses in the section's consistent unit (`unit`: MPa where it is in mm).

    Components are "normal", "shear", "shear-x", "shear-y", "principal-max", "principal-min" and
    "von Mises".

    Attributes
    ----------
    result : StressResult
        Everything behind it.

    Examples
    --------
    >>> import soapfilm as sf
    >>> r = sf.solve(sf.build("mm").shape("Rectangle", XDim=20, YDim=50))
    >>> st = r.stress(M_x="-1 kN*m")
    >>> abs(st.max("von Mises").value - 6e6 / (20 * 50**2)) < 1e-6, st.unit
    (True, 'MPa')
    >>> [round(stress, 6) for stress in st.at([[0, 0], [5, -20]])["normal"]]
    [0.0, 96.0]
    >>> round(st.min("normal").value), st.cases, len(st.table), len(st.to_frame("pandas"))
    (-120, ('actions',), 10, 10)
    >>> st.to_dict()["format"], "von Mises" in st.text()
    ('soapfilm stresses 1', True)
    >>> st.plot("von Mises").axes.get_aspect() == 1
    True
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     st.report(f"{folder}/bar.html")
    ...     st.to_vtu(f"{folder}/bar.vtu")
    """

    result: StressResult

    @property
    def unit(self) -> str:
        """Unit of all stresses, "" where the section has none."""
        return stress_unit(self.result)

    @property
    def cases(self) -> tuple[str, ...]:
        """Names of the load cases."""
        return tuple(case.actions.name for case in self.result.cases)

    def max(self, component: str = "von Mises", case: str | None = None) -> Value:
        """The largest value of a component, of one case or of all.

        Parameters
        ----------
        component : str
        case : str, optional

        Returns
        -------
        Value
            With its place; `reason` says where corners were left out.

        Raises
        ------
        InputError
            For an unknown component or case, or one without a maximum ("principal-min").
        """
        return self._extreme(component, 1, case)

    def min(self, component: str = "normal", case: str | None = None) -> Value:
        """The smallest value of a component, of one case or of all.

        Parameters
        ----------
        component : str
            "normal", "shear-x", "shear-y" or "principal-min".
        case : str, optional

        Returns
        -------
        Value

        Raises
        ------
        InputError
            For an unknown component or case, or one without a minimum.
        """
        return self._extreme(component, -1, case)

    def at(self, points: ArrayLike, case: str | None = None) -> DataTable:
        """All components at points of the section.

        Parameters
        ----------
        points : (k, 2)
            In the axes and unit of the input. On a border between regions the value is that of the
            region in the column `region`.
        case : str, optional

        Raises
        ------
        InputError
            For a point outside the material, or an unknown case.

        Returns
        -------
        DataTable
            Components with shear are None within the surroundings of a sharp corner, where shear
            has no bound.
        """
        return point_table(self.result, fields_at(self.result.units, points), self._chosen(case))

    def fields(
        self, case: str | None = None, through_wall: float = THROUGH_WALL
    ) -> tuple[SectionFields, dict[str, Any]]:
        """Points and small triangles of the section, and an array (n,) of each component there, for
        one case; `near_corner` of the former tells where shear has no bound.

        Parameters
        ----------
        case : str, optional
            The first when left out.
        through_wall : float
            About so many samples through the mean wall.

        Examples
        --------
        >>> import soapfilm as sf
        >>> st = sf.solve("HEB200").stress(N="100 kN")
        >>> where, stresses = st.fields()
        >>> len(where.points) == len(stresses["von Mises"])
        True
        """
        found = sampled_fields(self.result.units, through_wall)
        return found, components_at(found, self._chosen(case or self.cases[0])[0])

    @property
    def table(self) -> DataTable:
        """Extremes of every case and component, with their places."""
        return extreme_table(self.result)

    def _main_table(self) -> DataTable:
        return self.table

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm stress --json` prints."""
        from .report.stress.record import stress_record

        return stress_record(self.result)

    def to_vtu(self, path: str | os.PathLike[str], through_wall: float = THROUGH_WALL) -> None:
        """Write every component of every case, warping and stress function for viewers.

        Parameters
        ----------
        path : path
            Ends in .vtu or .xdmf.
        through_wall : float
            About so many samples through the mean wall.

        Raises
        ------
        InputError
            For another ending, or a path that cannot be written.
        """
        from .report.stress.field_files import write_vtu

        write_vtu(self.result, path, through_wall)

    def plot(
        self, component: str = "von Mises", case: str | None = None, *, ax: Any = None
    ) -> Drawing:
        """Contours of a component of one case; a notebook shows it.

        Parameters
        ----------
        component : str
        case : str, optional
            The first when left out.
        ax : matplotlib axes, optional
            To draw in.

        Raises
        ------
        InputError
            For an unknown component or case.
        """
        from .report.stress.figure import plot_stress

        number = self.result.cases.index(self._chosen(case or self.cases[0])[0])
        return Drawing(plot_stress(self.result, component_of(component).key, number, ax=ax))

    def _document(self, origin: Origin) -> Document:
        from .report.page.section_report import stress_report

        return stress_report(self.result, origin)

    def text(self) -> str:
        """The table of `soapfilm stress` as text."""
        from .report.stress.table import stress_table

        return stress_table(self.result)

    def __repr__(self) -> str:
        lines = [f"StressSolution of {self.result.result.section.name}, unit {self.unit or 'none'}"]
        for name, acting, value in self._main()[:6]:
            lines.append(f"  {name} ({acting}): {value}")
        more = len(self.cases) - 6
        return "\n".join(lines + ([f"  and {more} cases more"] if more > 0 else []))

    def _repr_html_(self) -> str:
        head = ("case", "actions", "peak von Mises stress")
        return notebook_grid(f"{self.result.result.section.name}: stresses", head, self._main())

    def _main(self) -> list[tuple[str, str, str]]:
        units = Units(self.result.result.unit) if self.unit else None
        shown = [(c.actions.name, _acting(c.actions, units)) for c in self.result.cases]
        return [(name, acts, repr(self._extreme("von Mises", 1, name))) for name, acts in shown]

    def _chosen(self, case: str | None) -> tuple[CaseStress, ...]:
        if case is None:
            return self.result.cases
        for one in self.result.cases:
            if one.actions.name == case:
                return (one,)
        raise InputError(f"there is no load case {case!r}; choose from {', '.join(self.cases)}")

    def _extreme(self, component: str, side: int, case: str | None) -> Value:
        known = component_of(component)
        found = [(c.extreme(known.key, side), c) for c in self._chosen(case)]
        best, of = max(found, key=lambda pair: side * pair[0].value)
        value, at = settled_extreme(self.result, of, best)
        left = "" if best.bounded else "the surroundings of sharp corners left out"
        return Value(value, self.unit, known.symbol, at=at, reason=left)


def _acting(actions: Actions, units: Units | None) -> str:
    """What acts, in the units that engineers read."""
    from .solver.section.stress.case_file import QUANTITY

    parts = []
    for symbol, word, quantity in zip(SYMBOLS, NAMES, QUANTITY, strict=True):
        value = getattr(actions, word)
        if value:
            unit, factor = units.display(quantity) if units else ("", 1.0)
            parts.append(f"{symbol} = {number(value * factor)} {unit}".rstrip())
    return ", ".join(parts)
