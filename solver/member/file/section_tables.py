"""Sections of a member file.

::

    [section.deck]
    file = "landing-deck.toml"     # a section file or a drawing, relative to the member file
    # unit = "mm"                  # of a drawing that states none
    # arcs_within = "0.5 mm"       # recognise a drawing's runs of chords as arcs
    # material = "S355"            # for parts that name none: a grade, or one of the file's own

    [section.girder]
    shape = "W10X49"               # a rolled shape
    material = "S355"

    [section.tube]                 # the entries of a section file
    unit = "mm"
    [[section.tube.shape]]
    profile = "RectangleHollow"
    ...

    [section.known]                # figures alone: no stresses then
    E = "210 GPa"
    G = "81 GPa"
    A = "73.1 cm^2"
    I_x = "9800 cm^4"              # also I_y, I_xy, J, C_w, A_vx, A_vy, beta_x, beta_y, mass,
    ...                            # width, centroid, shear_centre

Files and rolled shapes may be placed by `mirror`, `rotate` and `move`. Any section may soften:
`creep = { "C30/37" = 2.0 }` takes the effective modulus of its materials under loads that stay,
`torsion_factor = 0.3` its cracked torsional stiffness (classical theory alone then).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from ....geometry.conversion import in_unit
from ....geometry.errors import InputError
from ....geometry.grades import long_term
from ....geometry.outline.tapering import intermediate
from ....geometry.section import Section
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.material_tables import Materials
from ....geometry.section_file.section_file import load_section, section_from_table
from ....geometry.units import Units
from ...section.deforming.matching import refuse_unmatched
from ..model.constants import SectionConstants
from ..model.solved_section import SolvedSection, Solving, solved_section

#: Key, quantity and field of every figure of a section that is given by its figures.
FIGURES = {
    "E": ("stress", "elastic_modulus"),
    "G": ("stress", "shear_modulus"),
    "A": ("area", "area"),
    "I_x": ("second moment", "second_moment_x"),
    "I_y": ("second moment", "second_moment_y"),
    "J": ("second moment", "torsion_constant"),
    "C_w": ("warping constant", "warping_constant"),
    "I_xy": ("second moment", "product_moment"),
    "A_vx": ("area", "shear_area_x"),
    "A_vy": ("area", "shear_area_y"),
    "beta_x": ("length", "monosymmetry_x"),
    "beta_y": ("length", "monosymmetry_y"),
    "mass": ("mass per length", "mass_per_length"),
    "width": ("length", "width"),
}
_NEEDED = ("E", "G", "A", "I_x", "I_y", "J")
_INLINE = ("shape", "outline", "plate", "weld")
_SOFTENING = ("creep", "torsion_factor")


def crept(section: Section, factors: Mapping[str, float]) -> Section:
    """The section with the effective modulus of its materials by name.

    Raises
    ------
    InputError
        A material the section does not have.
    """
    known = {r.material.name for r in section.regions}
    for name in factors:
        if name not in known:
            raise InputError(
                f"creep: the section has no material {name!r}; there are {', '.join(sorted(known))}"
            )
    return replace(
        section,
        regions=tuple(
            replace(r, material=long_term(r.material, factors.get(r.material.name, 0.0)))
            for r in section.regions
        ),
    )


class Sections:
    """The sections a member file defines, read and solved when asked for.

    Parameters
    ----------
    tables : object
        The file's `section` tables.
    materials : object
        Its `material` tables, for sections that have none of their own.
    text : str
        The whole file: TOML keeps no order between lists, so the order of inline parts is taken
        from their headings.
    folder : Path
        What paths of section files are relative to.
    units : Units
    accuracy : float
        Relative width asked of J's interval.
    solving : Solving
        How they are solved.
    """

    def __init__(
        self,
        tables: object,
        materials: object,
        text: str,
        folder: Path,
        units: Units,
        accuracy: float,
        solving: Solving = solved_section,
    ) -> None:
        if not isinstance(tables, Mapping) or not tables:
            raise InputError(
                'there is no section; write [section.NAME] and below it file = "girder.toml"'
            )
        for name, table in tables.items():
            if not isinstance(table, Mapping):
                raise InputError(f'section {name[:60]!r}: write [section.{name}] and file = "..."')
        self._tables: Mapping[str, Mapping[str, Any]] = tables
        self._materials, self._text, self._folder = materials, text, folder
        self._units, self._accuracy, self._solving = units, accuracy, solving
        self._solved: dict[str, SolvedSection] = {}
        Materials(materials, units)  # a slip in a material counts, used or not

    @property
    def names(self) -> tuple[str, ...]:
        """In the order of the file."""
        return tuple(self._tables)

    def solved(self, name: str) -> SolvedSection:
        """A section by its name; solved once."""
        if name not in self._solved:
            with naming(f"section {name[:60]!r}"):
                entry = Entry("section", 0, self._tables[name], self._units)
                self._solved[name] = self._read(entry, name)
        return self._solved[name]

    def tapered(self, first: str, last: str, parts: int) -> list[SolvedSection]:
        """Sections from the first to the last, those between solved.

        Raises
        ------
        GeometryError
            Outlines that do not match: between them no member can be made. Names the corner.
        """
        ends = [self.solved(first), self.solved(last)]
        if ends[0].result is None or ends[1].result is None:
            return ends
        outlines = ends[0].result.section, ends[1].result.section
        refuse_unmatched(*outlines)
        found = [ends[0]]
        for n in range(1, parts):
            name = f"{first} to {last}, {n}/{parts}"
            if name not in self._solved:
                outline = intermediate(*outlines, n / parts, name)
                with naming(f"section {name!r}"):
                    solved = self._solving(outline, name, self._accuracy)
                self._solved[name] = replace(solved, made=True)
            found.append(self._solved[name])
        return [*found, ends[1]]

    @property
    def made(self) -> dict[str, SolvedSection]:
        """Sections between others that have been solved."""
        return {name: s for name, s in self._solved.items() if s.made}

    def _read(self, entry: Entry, name: str) -> SolvedSection:
        factor, creep = self._softened(entry)
        if entry.has("file"):
            section = self._placed(entry, self._from_file(entry))
        elif isinstance(entry.table.get("shape"), str):
            section = self._placed(entry, self._rolled(entry))
        elif any(kind in entry.table for kind in _INLINE):
            section = self._inline(entry, name)
        elif entry.table.keys() & FIGURES.keys():
            return SolvedSection(name, self._figures(entry, name)).softened(factor)
        else:
            raise InputError(
                "give its file, its shape (a designation), the parts of a section file, or its "
                f"figures ({', '.join(_NEEDED)}, ...)"
            )
        section = in_unit(crept(section, creep), self._units.length)
        return self._solving(section, name, self._accuracy).softened(factor)

    def _softened(self, entry: Entry) -> tuple[float, dict[str, float]]:
        """Keys `torsion_factor` and `creep`."""
        factor = entry.plain("torsion_factor", 1.0)
        assert factor is not None
        if not 0 < factor <= 1:
            raise InputError(f"torsion_factor lies above 0 and up to 1, got {factor:g}")
        creep: dict[str, float] = {}
        if entry.has("creep"):
            table = entry.table["creep"]
            if not isinstance(table, Mapping):
                raise InputError('creep is a table of materials, like { "C30/37" = 2.0 }')
            inner = Entry("creep", 0, table, self._units)
            creep = {word: inner.plain(word) or 0.0 for word in table}
        return factor, creep

    def _from_file(self, entry: Entry) -> Section:
        path = self._folder / entry.text("file")
        return load_section(path, entry.text("unit") or None, entry.text("arcs_within") or None)

    def _rolled(self, entry: Entry) -> Section:
        from ....geometry.catalogue import shape as rolled

        return rolled(entry.text("shape"))

    def _placed(self, entry: Entry, section: Section) -> Section:
        """In the member's unit, with its missing materials, and placed."""
        filled = None
        if entry.has("material"):
            filled = Materials(self._materials, Units(section.unit)).of(entry)
        section = replace(
            section,
            regions=tuple(
                replace(r, material=filled) if filled and not r.material.specified else r
                for r in section.regions
            ),
        )
        section = in_unit(section, self._units.length)
        section = section.placed(entry.placement())
        entry.close()
        return section

    def _inline(self, entry: Entry, name: str) -> Section:
        """The parts of a section file, with the member file's unit and materials by default."""
        own = {k: v for k, v in entry.table.items() if k not in _SOFTENING}
        table = {"unit": self._units.bare, "material": self._materials, **own}
        heading = re.compile(
            rf"^\s*\[\[\s*section\s*\.\s*[\"']?{re.escape(name)}[\"']?\s*\.\s*(\w+)\s*\]\]", re.M
        )
        order = "".join(f"[[{kind}]]\n" for kind in heading.findall(self._text))
        return section_from_table(table, order, name=name)

    def _figures(self, entry: Entry, name: str) -> SectionConstants:
        values: dict[str, Any] = {}
        for key, (quantity, word) in FIGURES.items():
            if key in _NEEDED:
                entry.need(key, f'"..." (a {quantity})')
            value = entry.length(key) if quantity == "length" else entry.quantity(key, quantity)
            if value is not None:
                values[word] = value
        for key in ("centroid", "shear_centre"):
            values[key] = entry.point(key, (0.0, 0.0))
        entry.close()
        return SectionConstants(**values, name=name)
