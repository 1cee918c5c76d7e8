"""Materials of a section file: the tables ``[material.NAME]``."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..errors import InputError
from ..grades import generic_material, is_grade, long_term
from ..material import Material
from ..temperature import thermal_expansion
from ..units import Units
from .entry import Entry, naming


class Materials:
    """The materials a file defines, found by name.

    Parameters
    ----------
    tables : mapping of str to mapping
        The file's tables; keys E (with nu or G), density, strength, thermal_expansion, source,
        creep_factor; or grade, density, thermal_expansion and creep_factor; or, in place of E,
        modular_ratio and of: E of the material or grade so named, over the ratio.
    units : Units
    """

    def __init__(self, tables: object, units: Units) -> None:
        if not isinstance(tables, Mapping):
            raise InputError('materials are tables of their own: [material.steel], then E = "..."')
        self._units = units
        self._known: dict[str, Material] = {}
        for name, table in tables.items():
            self._known[name] = self._read(name, table)

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

    def _read(self, name: str, table: Any) -> Material:
        with naming(f"material {name[:60]!r}"):
            if not isinstance(table, Mapping):
                raise InputError(f'write [material.{name}] and below it E = "210 GPa"')
            entry = Entry("material", 0, table, self._units)
            creep = entry.plain("creep_factor", 0.0)
            if entry.has("grade"):
                made = replace(generic_material(entry.text("grade"), self._units), name=name)
                if entry.has("thermal_expansion"):
                    made = replace(made, thermal_expansion=_expansion(entry))
                if entry.has("density"):
                    made = replace(made, density=entry.quantity("density", "density"))
                entry.close()
                return long_term(made, creep or 0.0)
            modulus = self._modulus(entry)
            shear = entry.quantity("G", "stress")
            poisson = entry.plain("nu")
            density = entry.quantity("density", "density")
            strength = entry.quantity("strength", "stress")
            source = entry.text("source")
            expansion = _expansion(entry)
            entry.close()
            if poisson is None:
                if shear is None:
                    raise InputError('nu or G is missing; write nu = 0.3 or G = "81 GPa"')
                poisson = modulus / (2 * shear) - 1 if shear > 0 else 0.0
                if not -1 < poisson <= 0.5:
                    raise InputError(
                        f"E / (2 G) - 1 = {poisson:.3g} is no Poisson's ratio of an isotropic "
                        "material; give nu as well"
                    )
        own = Material(name, modulus, poisson, shear, density, strength, source, expansion)
        return long_term(own, creep or 0.0)

    def _modulus(self, entry: Entry) -> float:
        """E, given or by the modular ratio: n = E of the other material / E."""
        if not entry.has("modular_ratio"):
            entry.need("E", '"210 GPa"')
            modulus = entry.quantity("E", "stress")
            assert modulus is not None
            return modulus
        if entry.has("E"):
            raise InputError("E and modular_ratio are both given; leave one of them out")
        entry.need("of", '"steel"')
        other = self.named(entry.text("of"))
        ratio = entry.plain("modular_ratio")
        if ratio is None or not 0 < ratio < float("inf"):
            raise InputError(f"modular_ratio must be positive, got {ratio}")
        return other.elastic_modulus / ratio


def _expansion(entry: Entry) -> float | None:
    """Key `thermal_expansion`, None when left out."""
    if not entry.has("thermal_expansion"):
        return None
    return thermal_expansion(entry.table["thermal_expansion"], "thermal_expansion")
