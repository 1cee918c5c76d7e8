"""Shrinkage in a member file.

::

    [[shrinkage]]
    case = "shrinkage"
    strain = 0.0003                # positive shortens; or "0.3 mm/m"
    of = "C30/37"                  # materials or regions by name, one or a list; left out: all
    from = "start"                 # and to, span: all along where they are left out

Where a part of the section shrinks and the rest does not, both are stressed even where nothing
holds the member.
"""

from __future__ import annotations

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.imposed import Shrinkage
from .positions import Along

#: No material shrinks more; a larger figure lacks its 1e-3 or 1e-6.
_MOST = 0.02


def shrinkages_of(entry: Entry, along: Along) -> list[Shrinkage]:
    """The shrinkage of one table."""
    case = entry.text("case", "shrinkage") or "shrinkage"
    name = entry.text("name")
    start, end = along.reach(entry)
    value = entry.need("strain", '0.0003 (or "0.3 mm/m")')
    if isinstance(value, str):
        strain = entry.units.read(value, "angle", what="strain", bare="rad")
    else:
        strain = entry.plain("strain") or 0.0
    if not 0 < abs(strain) <= _MOST:
        raise InputError(f"strain is a small number like 0.0003, got {value!r}")
    of = entry.table["of"] if entry.has("of") else []
    names = [of] if isinstance(of, str) else of
    if not isinstance(names, list) or not all(isinstance(n, str) for n in names):
        raise InputError(f"of is the name of a material or a list of them, got {of!r}")
    entry.close()
    return [Shrinkage(start, end, strain, tuple(names), case, name)]
