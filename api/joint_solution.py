"""What `solve` gives for a file of joints: stiffness, and what every bolt and weld carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.notebook_table import notebook_grid
from .leaving import Framed
from .report.data_table import DataTable
from .report.section.notebook import Drawing
from .report.text.json_values import json_values

if TYPE_CHECKING:
    from .solver.joint.detail import JointDetail
    from .solver.joint.joint_file import JointFile
    from .solver.joint.sharing import JointShare


@dataclass(frozen=True, slots=True, eq=False)
class JointSolution(Framed):
    """Joints laid out, and shared by the cases of their file; in mm, N, MPa and radians.

    Attributes
    ----------
    file : JointFile
    details : tuple of JointDetail
    shares : tuple of JointShare
        Of every case and the joints it acts on.

    Examples
    --------
    >>> import soapfilm as sf
    >>> found = sf.solve('''
    ... unit = "mm"
    ... [[joint]]
    ... name = "joist fin"
    ... kind = "fin plate"
    ... bolt = "M20"
    ... grade = "8.8"
    ... rows = 3
    ... pitch = 70
    ... arm = 60
    ... end_distance = 40
    ... side_distance = 40
    ... thickness = 10
    ... weld = 6
    ... ultimate = "430 MPa"
    ... beam_web = 6.2
    ... [[case]]
    ... V = "60 kN"
    ... ''')
    >>> found.table["tension"][:3], round(found.table["shear, elastic"][0])
    ([0.0, 0.0, 0.0], 20000)
    >>> found.stiffness.units["torsion_slip"], found.to_dict()["format"]
    ('rad', 'soapfilm joints 1')
    >>> len(found.to_frame("pandas")) == len(found.table), "joist fin" in found.text()
    (True, True)
    >>> drawing = found.plot("joist fin")
    >>> drawing.axes.figure is not None
    True
    """

    file: JointFile
    details: tuple[JointDetail, ...]
    shares: tuple[JointShare, ...]

    @property
    def table(self) -> DataTable:
        """Every bolt, and the ends and peak of every weld, under every case."""
        from .report.joint.record import share_table

        return share_table([("", found) for found in self.shares])

    @property
    def stiffness(self) -> DataTable:
        """Springs and slip of every joint; a stiffness of None is rigid."""
        words = ("rotational_stiffness", "torsional_stiffness", "rotation_slip", "torsion_slip")
        rows = [
            json_values({"joint": d.name, "kind": d.kind} | {w: getattr(d, w) for w in words})
            for d in self.details
        ]
        units = dict(zip(words, ("N*mm/rad", "N*mm/rad", "rad", "rad"), strict=True))
        return DataTable.of_rows(rows, units, "joints")

    def _main_table(self) -> DataTable:
        return self.table

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm joint --json` prints."""
        from .report.joint.record import joints_record

        found: dict[str, Any] = json_values(joints_record(self.details, self.shares))
        return found

    def plot(self, joint: str | None = None, case: str | None = None) -> Drawing:
        """One joint under one case, the first when left out; a notebook shows it.

        Raises
        ------
        InputError
            If nothing of these names acts.
        """
        from .report.joint.figure import plot_joint

        for found in self.shares:
            if joint in (None, found.detail.name) and case in (None, found.actions.name):
                return Drawing(plot_joint(found, self.file.units))
        raise InputError(
            "nothing acts on such a joint; give a [[case]] in the file, or other names"
        )

    def text(self) -> str:
        """The table of `soapfilm joint` as text."""
        from .report.joint.table import joint_table

        return joint_table(self.details, self.shares, [], self.file.units)

    def __repr__(self) -> str:
        lines = [f"JointSolution of {self.file.name}, {len(self.shares)} under load"]
        lines += [f"  {d.name}: {d.kind}" for d in self.details[:6]]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        rows = [(d.name, d.kind, str(len(d.bolts)), str(len(d.welds))) for d in self.details]
        return notebook_grid(self.file.name, ("joint", "kind", "bolt places", "welds"), rows)


def solved_joints(file: JointFile) -> JointSolution:
    """Lay out every joint of a file and share its cases.

    Raises
    ------
    InputError, SolveError
        Where a joint cannot hold what acts.
    """
    from .solver.joint.library import joint_detail
    from .solver.joint.sharing import share

    details = tuple(joint_detail(spec) for spec in file.specs)
    shares = tuple(
        share(detail, case.on(detail))
        for detail in details
        for case in file.cases
        if case.joint in ("", detail.name)
    )
    return JointSolution(file, details, shares)
