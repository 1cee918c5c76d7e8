"""Valid TOML files as other hands and programs write them.

Names in any script and with any character, the same in all that refers to them, so the file still
says what it said; units and numbers in odd writing; files that name themselves or each other; lists
longer or shorter by one; then line ends, encodings and decimal signs of the text as a whole.
"""

from __future__ import annotations

import datetime
import random
import re
from collections.abc import Callable, Sequence
from typing import Any

from soapfilm.geometry.errors import FileFormatError
from soapfilm.geometry.section_file.text import parsed

from .statement_change import Place, Tree, places, written

#: Names that fonts, tables, pages, figures and databases might trip over.
NAMES = (
    "two\nlines", "nul\x00", "bell\x07", "del\x7f", "esc\x1b[31m", "\u202ertl", "e\u0301e\u0301",
    "\U0001f469\u200d\U0001f52c", "zero\u200bwidth", "\ufeff", "\u2028", "<b onload=x>", "$x^2$",
    "$\\frac{", "100 %s {0} {x} %(a)s", "&amp;", "=1+1", "a|b`c", '"', "'", "\\", "../up",
    "/dev/null",
    "C:\\x", "a.b", "a,b;c", "x" * 400, "-", "--json", "nan", "all", "1", "\u0645\u0631\u062d",
    "\u6771\u4eac", "\ue000", "\uffff",
)  # fmt: skip
#: Files to name: itself, others that name it, none, and what is no file.
_FILES = (
    "a.toml", "fuzzed.toml", "loop.toml", "ring.toml", "tube.toml", "edge.toml", ".", "",
    "none.dxf",
    "/dev/zero", "/dev/null", "nul\x00.toml", "x" * 300 + ".toml", "./loop.toml", "~",
    "a.toml/b.toml",
)  # fmt: skip
_SPACES = ("\u00a0", "\u202f", "\u2009", "", "  ", "\t", "\u3000")
_UNITS = (
    "\u339c", "mm\u00b2", "\u00b5m", "\u03bcm", "kN\u00b7m", "kN\u22c5m", "kN m", "N/mm\u00b2",
    "mm^-1",
    "\u2033", "in\u00b3", "kN*m*m/m", "mm**2", "\u00b0", "MM", "Mm", "km/h", "k N", "mm mm", "%",
    "\u2030",
)  # fmt: skip
_NUMBERS = (
    "\u22125", "\u00bd", "1\u00bd", "\u0663", "\uff19", "1.5e\u00b2", "10\u2076", "1,5", "1.234,5",
    "1 000", "1'000", "5.", ".5", "+5", "1e5e5", "0x1F", "1_0", "5\u00b10.1", "1/3", "1:20",
    "\u221e",
)  # fmt: skip
_MOMENTS = (
    datetime.datetime(2026, 2, 28, 12, 0),
    datetime.datetime(1, 1, 1, tzinfo=datetime.timezone.utc),
    datetime.time(23, 59, 59, 999),
    datetime.date(9999, 12, 31),
)
_WRITTEN = re.compile(r"^\s*([-+]?[\d.]+(?:[eE][-+]?\d+)?)\s*(\S.*)$")


def retyped(data: bytes, rng: random.Random, _: Sequence[bytes] = ()) -> bytes:
    """The file in another hand; as it is where it is no TOML.

    Parameters
    ----------
    data : bytes
        UTF-8.
    rng : random.Random
    """
    try:
        tree = parsed(data.decode())
    except (FileFormatError, UnicodeDecodeError):
        return data
    for _k in range(rng.choice([1, 1, 2, 3])):
        rng.choice(_CHANGES)(tree, rng)
    text = written(tree)
    return rng.choice(_DRESSES)(text) if rng.random() < 0.25 else text.encode("utf-8", "replace")


def _texts(tree: Tree, fits: Callable[[str, Any], bool]) -> list[Place]:
    """Places of texts, by their key (that of their list for items) and what they hold."""
    return [
        (holder, key)
        for holder, key in places(tree)
        if isinstance(holder[key], str) and fits(str(key), holder[key])
    ]


def _named(tree: Tree, rng: random.Random) -> None:
    """One name in another writing, wherever it stands: as a value, in a list, as a key."""
    old = [holder[key] for holder, key in _texts(tree, lambda key, _: key in ("name", "case"))]
    sections = tree.get("section")
    old += list(sections) if isinstance(sections, dict) else []
    if old:
        replaced(tree, rng.choice(old), rng.choice(NAMES))


def replaced(item: Any, old: str, new: str) -> None:
    if isinstance(item, list):
        item[:] = [new if isinstance(one, str) and one == old else one for one in item]
    else:
        for key in list(item):
            value = item.pop(key)
            item[new if key == old else key] = new if value == old else value
    for one in item if isinstance(item, list) else item.values():
        if isinstance(one, dict | list):
            replaced(one, old, new)


def _twin(tree: Tree, rng: random.Random) -> None:
    """Two things of one name."""
    found = _texts(tree, lambda key, _: key == "name")
    if len(found) > 1:
        one, other = rng.sample(found, 2)
        one[0][one[1]] = other[0][other[1]]


def _quantity(tree: Tree, rng: random.Random) -> None:
    """A number with a unit in odd writing."""
    found = _texts(tree, lambda _, value: _WRITTEN.match(value) is not None)
    if found:
        holder, key = rng.choice(found)
        match = _WRITTEN.match(holder[key])
        assert match is not None
        number, unit = match.groups()
        change = rng.random()
        number = rng.choice(_NUMBERS) if change < 0.35 else number
        unit = rng.choice(_UNITS) if 0.25 < change < 0.7 else unit
        holder[key] = number + rng.choice(_SPACES) + unit


def _file(tree: Tree, rng: random.Random) -> None:
    """A file that is named where one is, or in a table that names none."""
    found = _texts(tree, lambda _, value: value.endswith((".toml", ".dxf")))
    tables = [(h[k], "file") for h, k in places(tree) if isinstance(h[k], dict)]
    some = found if found and rng.random() < 0.8 else tables
    if some:
        holder, key = rng.choice(some)
        holder[key] = rng.choice(_FILES)
    if rng.random() < 0.2:
        tree.setdefault("drawing", [{"file": rng.choice(_FILES)}])


def _longer(tree: Tree, rng: random.Random) -> None:
    """A list one longer, one shorter, or one deeper."""
    lists = [(h, k) for h, k in places(tree) if isinstance(h[k], list) and h[k]]
    if lists:
        holder, key = rng.choice(lists)
        items = holder[key]
        holder[key] = rng.choice([[*items, items[-1]], items[:-1], [items], items[0]])


def _moment(tree: Tree, rng: random.Random) -> None:
    found = places(tree)
    if found:
        holder, key = rng.choice(found)
        holder[key] = rng.choice([*_MOMENTS, True, False])


_CHANGES = (_named, _named, _named, _twin, _quantity, _quantity, _file, _longer, _moment)
_DRESSES: tuple[Callable[[str], bytes], ...] = (
    lambda text: text.replace("\n", "\r\n").encode("utf-8", "replace"),
    lambda text: text.replace("\n", "\r").encode("utf-8", "replace"),
    lambda text: text.encode("utf-8-sig", "replace"),
    lambda text: text.encode("utf-16", "replace"),
    lambda text: text.encode("latin-1", "replace"),
    lambda text: text.replace(" ", "\u00a0").encode("utf-8", "replace"),
    lambda text: text.replace(" = ", "\t=\t").encode("utf-8", "replace"),
    lambda text: re.sub(r'"([^"\n]*)"', "\u201c\\1\u201d", text).encode("utf-8", "replace"),
    lambda text: re.sub(r"(\d)\.(\d)", r"\1,\2", text).encode("utf-8", "replace"),
    lambda text: text.replace(",", ";").encode("utf-8", "replace"),
    lambda text: (text + "\x1a").encode("utf-8", "replace"),
    lambda text: (text + "# \x00").encode("utf-8", "replace"),
    lambda text: (text * 2).encode("utf-8", "replace"),
    lambda text: text.upper().encode("utf-8", "replace"),
)
