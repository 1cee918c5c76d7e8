"""`solve`: whatever `load` returned, or can load."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, overload

from .geometry.errors import InputError
from .geometry.section import Section
from .loading import load

if TYPE_CHECKING:
    from .building import SectionBuilder
    from .joint_solution import JointSolution
    from .member_solution import MemberSolution
    from .parts_solution import PartsSolution
    from .report.data_table import DataTable
    from .section_solution import SectionSolution
    from .solver.joint.joint_file import JointFile
    from .solver.member.file.request import MemberRequest
    from .solver.study.run.sweep import Study
    from .staged_solution import StagedSolution

    Solution = (
        SectionSolution
        | PartsSolution
        | MemberSolution
        | StagedSolution
        | JointSolution
        | DataTable
    )


@overload
def solve(
    source: Section | SectionBuilder, *, accuracy: float | None = None
) -> SectionSolution: ...
@overload
def solve(source: MemberRequest, *, remedies: bool = True) -> MemberSolution: ...
@overload
def solve(source: JointFile) -> JointSolution: ...
@overload
def solve(source: Study) -> DataTable: ...
@overload
def solve(
    source: Any, *, accuracy: float | None = None, remedies: bool = True, **how: Any
) -> Any: ...
def solve(
    source: Any, *, accuracy: float | None = None, remedies: bool = True, **how: Any
) -> Solution:
    """Solve a section, member, study or joints.

    Parameters
    ----------
    source
        What `load` returned, or anything that `load` takes.
    accuracy : float, optional
        Relative width asked of J's interval, 1e-5 when left out; a member's and a study's own
        stand in their files.
    remedies : bool
        Whether a member is solved again with each restraint taken away and each standard remedy.
    **how
        As for `load`: `unit`, `name`, `material`, `arcs_within`, ...

    Returns
    -------
    SectionSolution, MemberSolution, JointSolution or DataTable
        By what was solved. A section whose parts are in contact only gives a `PartsSolution`, a
        member built in stages a `StagedSolution`, a study its rows.

    Raises
    ------
    InputError
        For whatever is wrong in the source.
    SolveError
        If the method did not get there.

    Examples
    --------
    >>> r = solve("W10X49")
    >>> r.J.lower < 1.4 < r.J.upper + 0.05
    True
    >>> round(solve("HEB200", accuracy=1e-7).A.value)
    7808
    """
    loaded = load(source, **how)
    if isinstance(loaded, Section):
        return _section(loaded, accuracy)
    if accuracy is not None:
        raise InputError(
            "accuracy is for sections; in a member file write it under [analysis], in a study file "
            "at the top: accuracy = 1e-8"
        )
    from .solver.member.file.request import MemberRequest
    from .solver.study.run.sweep import Study

    if isinstance(loaded, MemberRequest):
        return _member(loaded, remedies)
    if isinstance(loaded, Study):
        from .sweeping import rows_of

        return rows_of(loaded)
    from .joint_solution import solved_joints

    return solved_joints(loaded)


def _section(section: Section, accuracy: float | None) -> SectionSolution | PartsSolution:
    from .geometry.checks.contact_only import contact_only_parts
    from .solver.accuracy import ACCURACY, check_width

    width = ACCURACY if accuracy is None else accuracy
    check_width(width)
    if len(contact_only_parts(section)) > 1:
        from .parts_solution import PartsSolution
        from .solver.section.contact_only import solve_contact_only

        return PartsSolution(solve_contact_only(section, width))
    from .section_solution import SectionSolution
    from .solver.section import solve_section

    return SectionSolution(solve_section(section, width))


def _member(request: MemberRequest, remedies: bool) -> MemberSolution | StagedSolution:
    if request.stages:
        from .solver.member.staged.assessment import assess_stages
        from .staged_solution import StagedSolution

        return StagedSolution(assess_stages(request))
    from .member_solution import MemberSolution
    from .solver.member.review.assessment import assess

    return MemberSolution(assess(request, cures=remedies))
