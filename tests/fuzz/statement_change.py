"""Valid TOML files with something changed in what they say: the result is TOML again, so readers
and checks behind the first are reached.

A file is taken as its tree of tables, lists and values; one or a few of them are changed.
"""

from __future__ import annotations

import copy
import datetime
import json
import random
import re
from collections.abc import Callable, Sequence
from typing import Any

from soapfilm.geometry.errors import FileFormatError
from soapfilm.geometry.section_file.text import parsed

Tree = dict[str, Any]
#: Where a value stands: what holds it (table or list), and its key or index there.
Place = tuple[Any, Any]

_FACTORS = (-1.0, 0.0, 0.5, 2.0, 10.0, 1e-3, 1e3, 1e-6, 1e6, 1e-9, 1e9, 1e-12, 1e12, 1 + 1e-9)
_EXTREMES: tuple[float, ...] = (
    0, -1, 1e-12, 1e12, -1e12, 1e-300, 1e300, 5e-324, float("nan"), float("inf"), -0.0, 10**30,
)  # fmt: skip
_OTHER_KINDS: tuple[Any, ...] = (
    [], {}, "", "x", True, 3, -2.5, [[]], [1, 2, 3], ["x", "x"], [0, [1]], {"a": 1}, [{}],
    datetime.date(1979, 5, 27), "3 kN", "2 m", "1 deg", "= 1", "end", [[0, 0], [1, 1]],
)  # fmt: skip
_TEXTS = (
    "", " ", "naïve ☃", "\u202eabc", "a\nb", "\t", "x" * 20_000, "0", "'", '"', "None", "../../x",
    "/etc/hostname", "９ mm", "1e999 m", "-0 mm", "1/0 in", "middle of", "end of span 99",
    "= 1 / 0", "= (", "= 9 ** 9 ** 9", "= " + "(" * 500, "start of span 0",
)  # fmt: skip
_NUMBER = re.compile(r"[-+]?\d+\.?\d*(?:[eE][-+]?\d+)?")


def restated(data: bytes, rng: random.Random, others: Sequence[bytes] = ()) -> bytes:
    """The file with one or a few of its statements changed; as it is where it is no TOML.

    Parameters
    ----------
    data : bytes
        UTF-8.
    rng : random.Random
    others : sequence of bytes
        Files of the same kind, tables of which may be put in.
    """
    try:
        tree = parsed(data.decode())
    except (FileFormatError, UnicodeDecodeError):
        return data
    changed(tree, rng, [other for other in others if other != data])
    return written(tree).encode()


def changed(tree: Tree, rng: random.Random, others: Sequence[bytes] = ()) -> None:
    """One or a few statements of a tree changed in place."""
    for _ in range(rng.choice([1, 1, 1, 1, 2, 2, 4])):
        rng.choice(_CHANGES)(tree, rng, others)


def written(tree: Tree) -> str:
    """A tree as TOML: lists of tables by their headings, deeper tables in braces."""
    top = [f"{_key(k)} = {_value(v)}" for k, v in tree.items() if not _headed(v)]
    rest: list[str] = []
    for name, item in tree.items():
        for table in [item] if isinstance(item, dict) else item if _headed(item) else ():
            heading = f"[{_key(name)}]" if isinstance(item, dict) else f"[[{_key(name)}]]"
            rest += [heading, *(f"{_key(k)} = {_value(v)}" for k, v in table.items())]
    return "\n".join([*top, *rest]) + "\n"


def _headed(item: Any) -> bool:
    if isinstance(item, dict):
        return True
    return isinstance(item, list) and bool(item) and all(isinstance(one, dict) for one in item)


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else _text(name)


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + "}"
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


# -- changes ---------------------------------------------------------------------------------------
def places(item: Any) -> list[Place]:
    """All places of a tree, tables and lists themselves too."""
    pairs = item.items() if isinstance(item, dict) else enumerate(item)
    found: list[Place] = []
    for key, value in pairs:
        found.append((item, key))
        if isinstance(value, dict | list):
            found += places(value)
    return found


def _one(tree: Tree, rng: random.Random, fits: Callable[[Any], bool]) -> Place | None:
    found = [(holder, key) for holder, key in places(tree) if fits(holder[key])]
    return rng.choice(found) if found else None


def _numeric(value: Any) -> bool:
    if isinstance(value, str):
        return bool(_NUMBER.search(value))
    return isinstance(value, int | float) and not isinstance(value, bool)


def _number(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """A number of another size, sign or kind; one in a text keeps its unit."""
    place = _one(tree, rng, _numeric)
    if not place:
        return
    holder, key = place
    value = holder[key]

    def other(before: float) -> float:
        return before * rng.choice(_FACTORS) if rng.random() < 0.7 else rng.choice(_EXTREMES)

    if isinstance(value, str):
        match = rng.choice(list(_NUMBER.finditer(value)))
        changed = repr(other(float(match.group())))
        holder[key] = value[: match.start()] + changed + value[match.end() :]
    else:
        new = other(value)
        holder[key] = int(new) if isinstance(value, int) and abs(new) < 1e15 else new


def _kind(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """A value of another kind in its place."""
    place = _one(tree, rng, lambda value: True)
    if place:
        place[0][place[1]] = copy.deepcopy(rng.choice(_OTHER_KINDS))


def _text_change(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """An odd text, or another text of the file: a name of something else, of itself."""
    one, other = (_one(tree, rng, lambda value: isinstance(value, str)) for _ in range(2))
    if one and other:
        odd = rng.random() < 0.4
        one[0][one[1]] = rng.choice(_TEXTS) if odd else other[0][other[1]]


def _dropped(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    place = _one(tree, rng, lambda value: True)
    if place:
        del place[0][place[1]]


def _renamed(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """A key of another name: one that is used elsewhere, one misspelt, one that nobody knows."""
    keys = [(holder, key) for holder, key in places(tree) if isinstance(holder, dict)]
    if not keys:
        return
    holder, key = rng.choice(keys)
    new = rng.choice([rng.choice(keys)[1], key[:-1], key + "s", "☃", "", "x", key.upper()])
    value = holder[key] if rng.random() < 0.3 else holder.pop(key)
    holder[new] = value


def _repeated(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """Items of a list twice, or many times."""
    place = _one(tree, rng, lambda value: isinstance(value, list) and bool(value))
    if place:
        items = place[0][place[1]]
        one = rng.choice(items)
        count = rng.choice([1, 1, 1, 2, 30, 400])
        items.extend(copy.deepcopy(one) for _ in range(count))


def _swapped(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """Two values in each other's place; what holds the other goes with it."""
    one, other = (_one(tree, rng, lambda value: True) for _ in range(2))
    if one and other:
        first, second = copy.deepcopy(one[0][one[1]]), copy.deepcopy(other[0][other[1]])
        one[0][one[1]], other[0][other[1]] = second, first


def _table(tree: Tree, rng: random.Random, others: Sequence[bytes]) -> None:
    """A table of another file, put in or added to those of its name."""
    if not others:
        return
    source = parsed(rng.choice(others).decode())
    name = rng.choice(list(source))
    new = source[name]
    own = tree.get(name)
    if isinstance(own, list) and isinstance(new, list) and new:
        own.append(rng.choice(new))
    elif isinstance(own, dict) and isinstance(new, dict):
        own.update(new)
    else:
        tree[name] = new


def _quantity(tree: Tree, rng: random.Random, _: Sequence[bytes]) -> None:
    """Values named once, some of them by themselves, and a number that follows from one."""
    bank = tree.get("quantity")
    if not isinstance(bank, dict):
        bank = tree["quantity"] = {}
    bank["q"] = rng.choice(["= q", "= r + 1", "10 mm", 3, 1e300, "= 1 / 0", "= q.r", True])
    bank["r"] = rng.choice(["= q", "= sqrt(q)", "= q * q", 0, "5 mm"])
    place = _one(tree, rng, _numeric)
    if place and place[0] is not bank:
        place[0][place[1]] = rng.choice(["= q", "= r", "= q + 1", "= -q", "= unknown", "= q * 1e9"])


_CHANGES = (
    _number, _number, _number, _number, _kind, _kind, _text_change, _text_change, _dropped,
    _dropped, _renamed, _repeated, _swapped, _table, _quantity,
)  # fmt: skip
