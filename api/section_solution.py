"""What `solve` gives for a section: its numbers by symbol and by name, fields, figures, files."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from .geometry.notebook_table import notebook_table
from .leaving import Paged
from .plots import SectionPlots
from .report.section.vocabulary import (
    section_quantity,
)
from .report.stress.field_arrays import THROUGH_WALL, SectionFields, fields_at, sampled_fields
from .section_numbers import SectionNumbers

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from .geometry.section import Section
    from .report.page.document import Document
    from .report.page.origin import Origin
    from .solver.section.stress.unit_stress import UnitStress
    from .stress_solution import StressSolution

#: What the short form and a notebook show.
_MAIN = ("area", "second_moment_x", "second_moment_y", "torsion_constant", "torsion_modulus",
         "warping_constant", "mean_lever_arm")  # fmt: skip


@dataclass(frozen=True, eq=False)
class SectionSolution(SectionNumbers, Paged):
    """A solved section.

    `r["torsion_constant"]` and `r["J"]` are numbers, `r.value("J")` has its unit and bounds beside
    it. Everything is in powers of the section's unit, angles in degrees; what vanishes but for
    rounding is 0, and what has no number is None with the reason in `value`.

    Attributes
    ----------
    result : SectionResult
        Everything behind it.

    Examples
    --------
    >>> import soapfilm as sf
    >>> r = sf.solve(sf.build("mm").shape("Rectangle", XDim=20, YDim=20))
    >>> round(r.J.value, 1), r.J.lower < 0.140577015 * 20**4 < r.J.upper, r.J.unit
    (22492.3, True, 'mm^4')
    >>> round(r["area"], 9), r.shear_centre, r.units["second_moment_x"]
    (400.0, (0.0, 0.0), 'mm^4')
    >>> st = r.stress(T="1 kN*m")
    >>> abs(float(st.max("shear")) - 600.8) < 0.5
    True
    >>> r.section.unit, r.to_dict()["format"], "torsion constant" in r.text()
    ('mm', 'soapfilm section 1', True)
    >>> any("sharp" in note for note in r.notes), r.plot
    (False, figures of section: shear(), warping())
    >>> len(r.fields().points) > 3, r.fields_at([[0, 0], [9, 0]]).points.shape
    (True, (2, 2))
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     r.report(f"{folder}/bar.html")
    ...     r.to_vtu(f"{folder}/bar.vtu")
    """

    @property
    def section(self) -> Section:
        """What was solved."""
        return self.result.section

    @property
    def notes(self) -> list[str]:
        """What must stand beside the numbers: how it was solved, cautions."""
        from .report.section.table import section_notes

        return section_notes(self.result)

    # -- stresses and fields -----------------------------------------------------------------------
    def stress(
        self,
        cases: Any = None,
        *,
        through: Sequence[Any] | None = None,
        name: str = "actions",
        factor: float = 1.0,
        **actions: Any,
    ) -> StressSolution:
        """Stresses under actions, or under several load cases.

        Parameters
        ----------
        cases : path or sequence of mappings, optional
            A file of load cases, or cases like `{"name": "crowd", "V_y": "120 kN"}`.
        through : (x, y), optional
            Point that the shear acts through; the shear centre when left out.
        name : str
            Of the one case that `actions` make.
        factor : float
            On the von Mises stress where it is compared with a strength.
        **actions
            N, M_x, M_y, V_x, V_y, T, T_w, B: texts with units, pint quantities, or numbers in the
            section's consistent units (N and N*mm where it is in mm).

        Raises
        ------
        InputError, UnitError
            For an unknown action, a wrong unit, no action at all, or a bimoment on a section that
            does not warp.
        """
        from .stress_cases import stress_solution

        given = {**actions} if through is None else {**actions, "through": tuple(through)}
        return stress_solution(self.result, cases, given, name, factor)

    @cached_property
    def _unit_stress(self) -> UnitStress:
        from .solver.section.stress.unit_stress import unit_stress

        return unit_stress(self.result)

    def fields(self, through_wall: float = THROUGH_WALL) -> SectionFields:
        """Nodes, small triangles, stress function, warping and unit stresses as arrays.

        Parameters
        ----------
        through_wall : float
            About so many samples through the mean wall.

        Raises
        ------
        InputError
            If that is not above 0.
        """
        return sampled_fields(self._unit_stress, through_wall)

    def fields_at(self, points: ArrayLike) -> SectionFields:
        """The same at single points (k, 2), in the axes and unit of the input.

        Raises
        ------
        InputError
            For a point outside the material.
        """
        return fields_at(self._unit_stress, points)

    # -- what leaves -------------------------------------------------------------------------------
    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm section --json` prints."""
        from .report.section.record import section_record

        return section_record(self.result)

    def to_vtu(self, path: str | os.PathLike[str], through_wall: float = THROUGH_WALL) -> None:
        """Write warping, stress function and unit stresses for viewers.

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
        from .report.stress.field_files import write_unit_vtu

        write_unit_vtu(self._unit_stress, path, through_wall)

    @property
    def plot(self) -> SectionPlots:
        """Figures: `plot.shear()`, `plot.warping()`; a notebook shows them."""
        return SectionPlots(self.result)

    def _document(self, origin: Origin) -> Document:
        from .report.page.section_report import section_report

        return section_report(self.result, origin)

    def text(self) -> str:
        """The table of `soapfilm section` as text."""
        from .report.section.table import section_table

        return section_table(self.result)

    def __repr__(self) -> str:
        lines = [f"SectionSolution of {self.section!r}"]
        lines += [f"  {self.value(name)!r}" for name in _MAIN[3:6]]
        x, y = self.shear_centre
        lines.append(f"  shear centre ({x:.6g}, {y:.6g}) {self.result.unit}".rstrip())
        return "\n".join(lines + self._unmet())

    def _repr_html_(self) -> str:
        rows = []
        for name in _MAIN:
            shown = repr(self.value(name))
            text = shown.partition(" = ")[2]
            rows.append((section_quantity(name).words, self.value(name).symbol, text))
        for words, (x, y) in (("centroid", self.centroid), ("shear centre", self.shear_centre)):
            rows.append((words, "", f"({x:.6g}, {y:.6g}) {self.result.unit}".rstrip()))
        rows += [("note", "", text.strip()) for text in self._unmet()]
        return notebook_table(self.section.name, rows)

    def _unmet(self) -> list[str]:
        """One line where J's interval is wider than asked for."""
        s = self.result.solver
        if s.met:
            return []
        return [
            f"  J's interval has a relative width of {s.reached:.1e}, asked for {s.accuracy:.1e}"
        ]
