"""Materials of a section file: the tables ``[material.NAME]``."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from .errors import InputError
from .file_entry import Entry, naming
from .material import Material
from .materials import generic_material, is_grade, long_term
from .units import Units


class Materials:
    """The materials a file defines, found by name.

    Parameters
    ----------
    tables : mapping of str to mapping
        The file's tables; keys E (with nu or G), density, strength, source, creep_factor; or grade
        and creep_factor.
    units : Units
    """

    def __init__(self, tables: object, units: Units) -> None:
        if not isinstance(tables, Mapping):
            raise InputError('materials are tables of their own: [material.steel], then E = "..."')
        self._known = {name: _material(name, table, units) for name, table in tables.items()}
        self._units = units

    def of(self, entry: Entry) -> Material:
        """The material that an entry names; the file's only one when it names none."""
        name = entry.text("material")
        if not name:
            if len(self._known) > 1:
                raise InputError(f"material is missing; the file defines {', '.join(self._known)}")
            return next(iter(self._known.values()), Material())
        return self.named(name)

    def named(self, name: str) -> Material:
        """The material of this name: one of the file's, or a generic grade."""
        if name not in self._known:
            if is_grade(name):
                return generic_material(name, self._units)
            near = difflib.get_close_matches(name, self._known, n=1)
            defined = ", ".join(self._known)
            hint = f"did you mean {near[0]!r}?" if near else f"the file defines {defined or 'none'}"
            raise InputError(f"material {name[:60]!r} is not defined; {hint}")
        return self._known[name]


def _material(name: str, table: Any, units: Units) -> Material:
    with naming(f"material {name[:60]!r}"):
        if not isinstance(table, Mapping):
            raise InputError(f'write [material.{name}] and below it E = "210 GPa"')
        entry = Entry("material", 0, table, units)
        creep = entry.plain("creep_factor", 0.0)
        if entry.has("grade"):
            grade = entry.text("grade")
            entry.close()
            return long_term(replace(generic_material(grade, units), name=name), creep or 0.0)
        entry.need("E", '"210 GPa"')
        modulus = entry.quantity("E", "stress")
        shear = entry.quantity("G", "stress")
        poisson = entry.plain("nu")
        density = entry.quantity("density", "density")
        strength = entry.quantity("strength", "stress")
        source = entry.text("source")
        entry.close()
        assert modulus is not None
        if poisson is None:
            if shear is None:
                raise InputError('nu or G is missing; write nu = 0.3 or G = "81 GPa"')
            poisson = modulus / (2 * shear) - 1 if shear > 0 else 0.0
            if not -1 < poisson <= 0.5:
                raise InputError(
                    f"E / (2 G) - 1 = {poisson:.3g} is no Poisson's ratio of an isotropic "
                    "material; give nu as well"
                )
    own = Material(name, modulus, poisson, shear, density, strength, source)
    return long_term(own, creep or 0.0)
