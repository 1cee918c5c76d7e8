"""What `solve` gives for a member built in stages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .geometry.notebook_table import notebook_table
from .leaving import Framed, Paged
from .report.data_table import DataTable
from .report.section.notebook import Drawing
from .report.text.json_values import json_values

if TYPE_CHECKING:
    from .report.page.document import Document
    from .report.page.origin import Origin
    from .solver.member.staged.assessment import StagedAssessment


@dataclass(frozen=True, slots=True, eq=False)
class StagedSolution(Framed, Paged):
    """A member solved stage by stage.

    Attributes
    ----------
    result : StagedAssessment
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
    ... [[deck]]
    ... name = "slab"
    ... twist = "100 kN*m/rad/m"
    ... [[load]]
    ... case = "wet"
    ... weight = "3 kN/m"
    ... place = [100, 100]
    ... [[load]]
    ... case = "stone"
    ... weight = "2 kN/m"
    ... place = [100, 100]
    ... [[stage]]
    ... name = "pouring"
    ... cases = ["wet"]
    ... without = ["slab"]
    ... [[stage]]
    ... name = "in use"
    ... [analysis]
    ... sections = "keep their shape"
    ... ''')
    >>> m.stages
    ('pouring', 'in use')
    >>> sorted(set(m.stations["stage"]))
    ['in use', 'pouring']
    >>> m.combinations, len(m.limits) > 0, len(m.bolts)
    (('wet', 'stone'), True, 0)
    >>> len(m.to_frame("pandas")) == len(m.stations), m.to_dict()["format"]
    (True, 'soapfilm staged member 1')
    >>> m.reactions.units["T"]
    'kN*m'
    >>> "pouring" in m.text(), m.plot().axes.figure is not None
    (True, True)
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     m.report(f"{folder}/stages.html")
    """

    result: StagedAssessment

    @property
    def name(self) -> str:
        """Of the member."""
        return self.result.request.member.name

    @property
    def stages(self) -> tuple[str, ...]:
        """Names of the stages, in order."""
        return tuple(s.stage.name for s in self.result.stages)

    @property
    def combinations(self) -> tuple[str, ...]:
        """Names of the combinations."""
        return self.result.names

    @property
    def stations(self) -> DataTable:
        """Twist and displacements of the shear centre after every stage, along the member."""
        from .report.stages.record import stage_station_table

        return stage_station_table(self.result)

    @property
    def reactions(self) -> DataTable:
        """What every support holds after every stage."""
        from .report.stages.record import stage_reaction_table

        return stage_reaction_table(self.result)

    @property
    def limits(self) -> DataTable:
        """Every limit after every stage, with how much of it is used."""
        from .report.member.limits import limit_table

        return limit_table(self.result)

    @property
    def bolts(self) -> DataTable:
        """Every bolt and weld of the joints after every stage."""
        from .report.joint.record import share_table
        from .report.member.joint_passage import placed_shares
        from .report.stages.every_bolt import found_stage_joints

        return share_table(placed_shares(found_stage_joints(self.result)))

    def plot(self, combination: str | None = None) -> Drawing:
        """The stages on one page; a notebook shows it.

        Raises
        ------
        InputError
            For a combination that was not solved.
        """
        from .report.stages.figure import plot_stages

        return Drawing(plot_stages(self.result, self._column(combination)))

    def _document(self, origin: Origin) -> Document:
        from .report.page.stages_report import stages_report

        return stages_report(self.result, origin)

    def _main_table(self) -> DataTable:
        return self.stations

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm member --json` prints."""
        from .report.stages.record import staged_record

        found: dict[str, Any] = json_values(staged_record(self.result))
        return found

    def text(self) -> str:
        """The table of `soapfilm member` as text."""
        from .report.stages.passages import staged_table

        return staged_table(self.result)

    def _column(self, combination: str | None) -> int | None:
        from .geometry.errors import InputError

        if combination is None:
            return None
        if combination not in self.combinations:
            solved = ", ".join(self.combinations)
            raise InputError(f"combination {combination!r} was not solved; solved are {solved}")
        return self.combinations.index(combination)

    def __repr__(self) -> str:
        lines = [f"StagedSolution of {self.name!r}: {', '.join(self.stages)}"]
        lines += [f"  {words}: {value} ({of})" for words, of, value in self._main()[:7]]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        return notebook_table(f"{self.name}, built in stages", self._main())

    def _main(self) -> list[tuple[str, str, str]]:
        """Limit, stage and combination, use."""
        return [
            (row["limit"], f"{row['stage']}, {row['combination']}", f"{row['used']:.0%} used")
            for row in self.limits
        ]
