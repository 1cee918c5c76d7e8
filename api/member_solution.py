"""What `solve` gives for a member: reactions, stations, limits, remedies, figures, files."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .geometry.notebook_table import notebook_table
from .leaving import Framed, Paged
from .report.data_table import DataTable
from .report.section.notebook import Drawing
from .report.text.json_values import json_values
from .value import Value

if TYPE_CHECKING:
    from .report.page.document import Document
    from .report.page.origin import Origin
    from .section_solution import SectionSolution
    from .solver.member.review.assessment import Assessment


@dataclass(frozen=True, slots=True, eq=False)
class MemberSolution(Framed, Paged):
    """A solved member.

    Tables are in the units that engineers read (m along, mm, deg, kN, kN*m, MPa, or their US
    counterparts), each column with its unit; `to_dict` is in consistent units.

    Attributes
    ----------
    result : Assessment
        Everything behind it.

    Examples
    --------
    >>> import soapfilm as sf
    >>> m = sf.solve('''
    ... unit = "mm"
    ... [section.girder]
    ... shape = "HEB200"
    ... material = "S355"
    ... [[span]]
    ... length = "4 m"
    ... [[support]]
    ... at = ["start", "end"]
    ... kind = "fork"
    ... [[load]]
    ... weight = "3 kN/m"
    ... place = [100, 100]
    ... [analysis]
    ... sections = "keep their shape"
    ... ''', remedies=False)
    >>> m.reactions["R_y"][:2], m.reactions.units["R_y"]
    ([6.0, 6.0], 'kN')
    >>> len(m.stations) > 100, len(m.to_frame("pandas")) == len(m.stations)
    (True, True)
    >>> m.name, m.combinations, m.largest("M_x").unit, list(m.sections)
    ('member', ('load',), 'kN*m', ['girder'])
    >>> len(m.limits), len(m.bolts), len(m.remedies), m.to_dict()["format"]
    (1, 0, 0, 'soapfilm member 1')
    >>> "largest twist" in m.text(), m.plot("load").axes.figure is not None
    (True, True)
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     m.report(f"{folder}/girder.html")
    ...     m.to_vtu(f"{folder}/girder.vtu", stations=4)
    ...     m.to_station_series(f"{folder}/girder.xdmf", stations=4)
    """

    result: Assessment

    @property
    def name(self) -> str:
        """Of the member."""
        return self.result.solution.mesh.member.name

    @property
    def combinations(self) -> tuple[str, ...]:
        """Names of the combinations."""
        return self.result.solution.names

    @property
    def reactions(self) -> DataTable:
        """All that holds the member, by theory, support, bearing and combination, with its sums."""
        from .report.member.reaction_record import reaction_table

        return reaction_table(self.result)

    @property
    def stations(self) -> DataTable:
        """Results along the member by the classical theory."""
        from .report.member.csv import station_table

        return station_table(self.result)

    @property
    def limits(self) -> DataTable:
        """Every limit with how much of it is used."""
        from .report.member.limits import limit_table

        return limit_table(self.result)

    @property
    def remedies(self) -> DataTable:
        """What each standard remedy makes of twist and stress; empty where none was asked for."""
        from .report.member.limits import remedy_table

        return remedy_table(self.result)

    @property
    def bolts(self) -> DataTable:
        """Every bolt and weld of the joints that the member names, under every combination."""
        from .report.joint.record import share_table
        from .report.member.joint_passage import found_joints, placed_shares

        return share_table(placed_shares(found_joints(self.result)))

    @property
    def sections(self) -> dict[str, SectionSolution]:
        """Its solved sections by name, those given by their figures alone left out."""
        from .section_solution import SectionSolution

        known = self.result.request.sections
        return {n: SectionSolution(s.result) for n, s in known.items() if s.result is not None}

    def largest(self, word: str, combination: str | None = None) -> Value:
        """The value of largest size along the member by the classical theory, with its sign.

        Parameters
        ----------
        word : str
            "twist", "u", "v", "N", "V_x", "V_y", "M_x", "M_y", "T", "T_t", "T_w" or "B".
        combination : str, optional
            Of all combinations when left out.

        Returns
        -------
        Value
            `at` is the station.

        Raises
        ------
        InputError
            For an unknown word or combination.
        """
        from .report.member.csv import station_column

        station_column(word)
        self._column(combination)
        table = self.stations
        rows = zip(table["z"], table["combination"], table[word], strict=True)
        found = [(z, v) for z, name, v in rows if combination in (None, name)]
        at, value = max(found, key=lambda pair: abs(pair[1]))
        return Value(value, table.units.get(word, ""), word, at=(at,))

    def plot(self, combination: str | None = None) -> Drawing:
        """The member and its diagrams on one page; a notebook shows it.

        Raises
        ------
        InputError
            For a combination that was not solved.
        """
        from .report.member.figure import plot_member

        return Drawing(plot_member(self.result, self._column(combination)))

    def _document(self, origin: Origin) -> Document:
        from .report.page.member_report import member_report

        return member_report(self.result, origin)

    def to_vtu(
        self,
        path: str | os.PathLike[str],
        combination: str | None = None,
        *,
        stations: int = 40,
        scale: float = 0.0,
    ) -> None:
        """Write the solid with its displacement and all stresses, by the theory that leads.

        Parameters
        ----------
        path : path
            Ends in .vtu or .xdmf.
        combination : str, optional
            Left out: that of the figure.
        stations : int
            About so many along the member.
        scale : float
            Points are moved by so many times the displacement; at 0 viewers move them by the field.

        Raises
        ------
        InputError
            For an unknown combination, a section without a shape, or another ending.
        """
        from .report.member.solid_files import write_solid

        write_solid(self.result, path, self._column(combination), stations, scale)

    def to_station_series(
        self, path: str | os.PathLike[str], combination: str | None = None, *, stations: int = 40
    ) -> None:
        """Write the section station by station as XDMF, the station as time (in m, or ft).

        Parameters
        ----------
        path : path
            Ends in .xdmf.
        combination : str, optional
            Left out: that of the figure.
        stations : int
            About so many along the member.

        Raises
        ------
        InputError
            Where the section changes along the member, or the path does not end in .xdmf.
        """
        from .report.member.solid_files import write_station_series

        write_station_series(self.result, path, self._column(combination), stations)

    def _main_table(self) -> DataTable:
        return self.stations

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm member --json` prints."""
        from .report.member.record import member_record

        found: dict[str, Any] = json_values(member_record(self.result))
        return found

    def text(self) -> str:
        """The table of `soapfilm member` as text."""
        from .report.member.table import member_table

        return member_table(self.result)

    def _column(self, combination: str | None) -> int | None:
        return None if combination is None else self.result.solution.column(combination)

    def __repr__(self) -> str:
        lines = [f"MemberSolution of {self.name!r}: {', '.join(self.combinations)}"]
        lines += [f"  {words} {value}" for words, _, value in self._main()[:7]]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        return notebook_table(self.name, self._main())

    def _main(self) -> list[tuple[str, str, str]]:
        """Words, combination and value of the main results."""
        rows = []
        for word in ("twist", "v", "T"):
            value = self.largest(word)
            text = repr(value).partition(" = ")[2].replace(" at (", " at z = ").rstrip(")")
            rows.append((f"largest {word}", "", f"{text} {self.stations.units['z']}"))
        for limit in self.limits:
            rows.append((limit["limit"], limit["combination"], f"{limit['used']:.0%} used"))
        return rows
