"""`pays`: where material pays: derivatives of a section to its dimensions and its outline, and of
what a member does to the numbers of its file."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.section import Section
from .loading import load
from .report.data_table import DataTable
from .report.section.notebook import Drawing

if TYPE_CHECKING:
    from .solver.study.derivative.member_pay import MemberPay
    from .solver.study.derivative.section_pay import SectionPay


def pays(
    source: Any,
    *numbers: str,
    accuracy: float | None = None,
    keep_shape: bool = False,
    results: Sequence[str] = (),
    cases: Any = None,
    through: Sequence[Any] | None = None,
    **actions: Any,
) -> SectionPays | MemberPays:
    """Solve a section or member and differentiate its numbers.

    Parameters
    ----------
    source : path, or anything `load` takes as a section
        A section file has numbers to differentiate by; a drawing, a polygon or a rolled shape its
        outline alone. A member file has the numbers of its sections, and others by address.
    *numbers : str
        Addresses in the file, like "shape.1.WebThickness", or "name = address, address" for a
        number that stands at several places; every dimension of the file when left out.
    accuracy : float, optional
        Relative width asked of J's interval, 1e-5 when left out.
    keep_shape : bool
        Of a member: the classical theory, whose derivatives are exact.
    results : sequence of str
        Of a member by the classical theory: further results in words, like "twist at middle of
        span 1" or "reaction of SUPPORT".
    cases : path or sequence of mappings, optional
        Load cases on a section file's section, as `SectionSolution.stress` takes them: their
        largest stresses are differentiated too.
    through : (x, y), optional
        Point that the shear acts through; the shear centre when left out.
    **actions
        N, M_x, M_y, V_x, V_y, T, T_w, B of one case, in place of `cases`.

    Returns
    -------
    SectionPays or MemberPays
        Derivatives, elasticities and doubts, in the file's units; `table()` has a row for each
        number and property.

    Raises
    ------
    InputError
        For an address that holds no number, or one without a file; for actions on anything but a
        section file.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder, "strip.toml")
    ...     shape = 'unit = "mm"\\n[[shape]]\\nprofile = "Rectangle"\\nXDim = 200\\nYDim = 2\\n'
    ...     _ = file.write_text(shape)
    ...     found = pays(file)
    >>> found
    where material pays in strip: by shape.1.XDim, shape.1.YDim
    >>> rows = [r for r in found.table() if r["property"] == "torsion_constant"]
    >>> [(r["number"], round(r["elasticity"], 3)) for r in rows]
    [('shape.1.XDim', 1.006), ('shape.1.YDim', 2.994)]

    The stress of a moment is M / (b h^2 / 6):

    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder, "strip.toml")
    ...     _ = file.write_text(shape)
    ...     found = pays(file, "shape.1.YDim", M_x="-1 kN*m")
    >>> [round(r["elasticity"], 6) for r in found.table() if r["property"] == "von Mises max"]
    [-2.0]
    """
    from .geometry.section_file.kinds import MEMBER, kind_of
    from .geometry.section_file.text import parsed, read_text
    from .solver.accuracy import ACCURACY
    from .solver.study.derivative.member_pay import member_pay
    from .solver.study.derivative.section_pay import outline_pay, section_pay
    from .solver.study.file.member_base import MemberBase
    from .solver.study.file.section_base import SectionBase
    from .stress_cases import acting_cases

    given = actions if through is None else {**actions, "through": tuple(through)}
    acts = cases is not None or bool(given)
    width = ACCURACY if accuracy is None else accuracy
    if isinstance(source, (str, os.PathLike)) and Path(source).suffix.lower() == ".toml":
        if kind_of(parsed(read_text(Path(source)))) == MEMBER:
            if acts:
                raise InputError(
                    "a member has its loads in its file; leave the actions out, or give its "
                    "section's own file"
                )
            base = MemberBase.from_file(Path(source))
            return MemberPays(
                member_pay(base, numbers, width, keep_shape=keep_shape, results=results)
            )
        plain = SectionBase.from_file(Path(source))
        acting = acting_cases(cases, given, "actions", plain.unit) if acts else ()
        return SectionPays(section_pay(plain, numbers, width, acting))
    if acts:
        raise InputError(
            "actions are for section files (.toml), to whose numbers stresses have derivatives; "
            "give its path"
        )
    if numbers:
        raise InputError("numbers are those of a section file (.toml); give its path")
    section = load(source)
    if not isinstance(section, Section):
        raise InputError(f"material pays in sections; this is a {type(section).__name__}")
    return SectionPays(outline_pay(section, width))


@dataclass(frozen=True, slots=True, eq=False)
class SectionPays:
    """Where material pays in a section.

    Attributes
    ----------
    pay : SectionPay
        Everything behind it.

    Examples
    --------
    >>> found = pays("W10X49")
    >>> "1 % of weight" in found.text(), found.to_dict()["format"]
    (True, 'soapfilm pays 1')
    >>> len(found.table()), found.plot("J").axes.get_aspect()
    (0, 1.0)
    """

    pay: SectionPay

    def table(self) -> DataTable:
        """A row for each number and property, then for each largest stress: derivative, elasticity,
        elasticity by weight."""
        from .report.pay.record import pay_rows

        return pay_rows(self.pay)

    def plot(self, of: str = "J", *, ax: Any = None) -> Drawing:
        """The outline as a band, as wide as a little more material pays there.

        Parameters
        ----------
        of : str
            What it pays for: "J", "C_w", "I_x", "I_y" or "A".
        ax : matplotlib Axes, optional
        """
        from .report.pay.figure import plot_pay

        return Drawing(plot_pay(self.pay, of, ax=ax))

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm pays --json` prints."""
        from .report.pay.record import pay_record

        return pay_record(self.pay)

    def text(self) -> str:
        """The table of `soapfilm pays` as text."""
        from .report.pay.table import pay_table

        return pay_table(self.pay)

    def __repr__(self) -> str:
        numbers = ", ".join(one.number.name for one in self.pay.numbers) or "its outline"
        return f"where material pays in {self.pay.result.section.name}: by {numbers}"


@dataclass(frozen=True, slots=True, eq=False)
class MemberPays:
    """Where material pays in a member: derivatives of its results.

    Attributes
    ----------
    pay : MemberPay
        Everything behind it.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder, "bar.toml")
    ...     _ = file.write_text('''unit = "mm"
    ... [section.bar]
    ... unit = "mm"
    ... [[section.bar.shape]]
    ... profile = "Circle"
    ... Radius = 20
    ... material = "S355"
    ... [[span]]
    ... length = "2 m"
    ... [[support]]
    ... at = "start"
    ... kind = "fixed"
    ... [[load]]
    ... case = "twist"
    ... at = "end"
    ... T = "0.2 kN*m"
    ... ''')
    ...     found = pays(file, keep_shape=True)
    >>> [(r["result"], round(r["elasticity"], 4)) for r in found.table()][:2]
    [('mass', 2.0), ('twist_deg', -4.0)]
    >>> "The derivatives are those of the solution itself" in " ".join(found.text().split())
    True
    """

    pay: MemberPay

    def table(self) -> DataTable:
        """A row for each number and result: derivative and its doubt, elasticity, by mass."""
        from .report.pay.member_rates import member_pay_rows

        return member_pay_rows(self.pay)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm pays --json` prints of a member."""
        from .report.pay.member_rates import member_pay_record

        return member_pay_record(self.pay)

    def text(self) -> str:
        """The table of `soapfilm pays` as text."""
        from .report.pay.member_rates import member_pay_table

        return member_pay_table(self.pay)

    def __repr__(self) -> str:
        numbers = ", ".join(rate.number.name for rate in self.pay.numbers)
        return f"where material pays in {self.pay.name}: by {numbers}"
