"""`build`: a section made step by step in Python, with the words of a section file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError

if TYPE_CHECKING:
    from .geometry.section import Section

Points = Sequence[Sequence[float | str]]


@dataclass(frozen=True, slots=True)
class SectionBuilder:
    """A section in the making; every step gives a new builder and leaves this one as it is.

    What a step takes are the keys of the table of the same name in a section file, so files and
    Python have one vocabulary and one set of messages. Lengths are numbers in `unit`, or texts with
    their own.

    Attributes
    ----------
    unit : str
    name : str
    materials : tuple of (name, keys)
    parts : tuple of (table, keys)
        In the order in which they were added.

    Examples
    --------
    >>> tee = (
    ...     build("mm", name="tee")
    ...     .material("steel", grade="S355")
    ...     .plate("flange", [[-50, 120], [50, 120]], thickness=10)
    ...     .plate("web", [[0, 120], [0, 0]], thickness=8)
    ...     .weld("neck", ["flange", "web"], leg=5)
    ... )
    >>> tee.section()
    Section('tee', 100 x 125 mm, area 1945 mm^2, 4 regions of steel)
    >>> sorted(tee.to_dict())
    ['format', 'material', 'name', 'parts', 'unit']
    """

    unit: str
    name: str = "section"
    materials: tuple[tuple[str, dict[str, Any]], ...] = ()
    parts: tuple[tuple[str, dict[str, Any]], ...] = ()

    def material(self, name: str, **keys: Any) -> SectionBuilder:
        """Define a material.

        Parameters
        ----------
        name : str
            By which parts call it.
        **keys
            `grade`, or `E`, `nu` or `G`, `density`, `strength`, with units.

        Examples
        --------
        >>> build("mm").material("steel", E="210 GPa", nu=0.3).materials[0][0]
        'steel'
        """
        return replace(self, materials=(*self.materials, (name, keys)))

    def plate(
        self, name: str, points: Points, thickness: float | str | Sequence[float | str], **keys: Any
    ) -> SectionBuilder:
        """Add a plate by the line it follows.

        Parameters
        ----------
        name : str
            By which welds call it.
        points : sequence of [x, y] or [x, y, bulge]
        thickness : length, or two of them for a taper
        **keys
            `material`, `line`, `corner`, `closed`, `bend_radius` as in [[plate]].
        """
        return self._with("plate", {"name": name, "points": points, "thickness": thickness} | keys)

    def weld(self, name: str, between: Sequence[str], **keys: Any) -> SectionBuilder:
        """Join two plates that touch.

        Parameters
        ----------
        name : str
        between : two names of plates
        **keys
            `kind`, `leg`, `depth`, `near`, `length`, `pitch` as in [[weld]].
        """
        return self._with("weld", {"name": name, "between": between} | keys)

    def shape(self, profile: str, **keys: Any) -> SectionBuilder:
        """Add a parametric profile by the attributes of its open standard, or a rolled shape.

        Parameters
        ----------
        profile : str
            "I", "RectangleHollow" and so on; without attributes, a designation like "HEB200".
        **keys
            Attributes ("OverallDepth"), and `name`, `material`, `move`, `rotate`, `mirror`,
            `combine` as in [[shape]].

        Examples
        --------
        >>> build("mm").shape("Rectangle", XDim=20, YDim="2 in").section().bounds()
        (-10.0, -25.4, 10.0, 25.4)
        """
        attributes = any(key[:1].isupper() for key in keys)
        return self._with("shape", {"profile" if attributes else "shape": profile} | keys)

    def outline(self, points: Points, holes: Sequence[Points] = (), **keys: Any) -> SectionBuilder:
        """Add an outline by its vertices.

        Parameters
        ----------
        points : sequence of [x, y] or [x, y, bulge]
            Closed by itself.
        holes : sequence of such sequences
        **keys
            `name`, `material`, `move`, `rotate`, `mirror`, `combine`, `arcs_within` as in
            [[outline]].
        """
        given = {"points": points, "holes": holes} if len(holes) else {"points": points}
        return self._with("outline", given | keys)

    def section(self) -> Section:
        """The section.

        Raises
        ------
        InputError
            As reading the same section file would, with the part and the key.
        """
        from .geometry.section_file.section_file import section_from_table

        if not self.parts:
            raise InputError("nothing is built yet; add a plate, shape or outline")
        table: dict[str, Any] = {"unit": self.unit, "name": self.name}
        if self.materials:
            table["material"] = dict(self.materials)
        for kind, keys in self.parts:
            table.setdefault(kind, []).append(keys)
        order = "\n".join(f"[[{kind}]]" for kind, _ in self.parts)
        return section_from_table(table, order, name=self.name)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: the steps."""
        steps = [{"table": kind, **keys} for kind, keys in self.parts]
        materials = {name: dict(keys) for name, keys in self.materials}
        own = {"unit": self.unit, "name": self.name, "material": materials, "parts": steps}
        return {"format": "soapfilm builder 1", **own}

    def __repr__(self) -> str:
        named = ", ".join(f"{kind} {keys.get('name', '')!r}" for kind, keys in self.parts)
        return f"SectionBuilder({self.name!r}, {self.unit}, {named or 'nothing yet'})"

    def _repr_html_(self) -> str:
        from .geometry.notebook_table import notebook_table

        rows = [(kind, "", str(keys.get("name", ""))) for kind, keys in self.parts]
        return notebook_table(f"{self.name}, in the making", rows)

    def _with(self, kind: str, keys: dict[str, Any]) -> SectionBuilder:
        return replace(self, parts=(*self.parts, (kind, _plain(keys))))


def build(unit: str, name: str = "section") -> SectionBuilder:
    """Begin a section.

    Parameters
    ----------
    unit : str
        "mm", "cm", "m", "in" or "ft": of every bare number.
    name : str

    Raises
    ------
    UnitError
        For an unknown unit.

    Examples
    --------
    >>> build("mm").outline([[0, 0], [30, 0], [0, 40]]).section()
    Section('section', 30 x 40 mm, area 600 mm^2, 1 region of unspecified)
    """
    from .geometry.units import Units

    return SectionBuilder(Units(unit).length, name)


def _plain(value: Any) -> Any:
    """As TOML would give it: lists for tuples and arrays, numbers of Python, texts for pint's."""
    if hasattr(value, "magnitude"):
        return f"{float(value.magnitude)!r} {value.units:~C}"
    if isinstance(value, dict):
        return {key: _plain(entry) for key, entry in value.items()}
    if hasattr(value, "tolist"):
        value = value.tolist()
    return [_plain(v) for v in value] if isinstance(value, (list, tuple)) else value
