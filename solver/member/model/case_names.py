"""Names of load cases and combinations: each once, and none that nothing bears."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

from ....geometry.errors import InputError
from .load import Combination


def check_combinations(combinations: Sequence[Combination], cases: Sequence[str]) -> None:
    """Every combination has a name of its own, and factors of cases that something loads.

    Raises
    ------
    InputError
        In words.
    """
    names = [c.name for c in combinations]
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"two combinations are named {name!r}; rename one")
    for combination in combinations:
        for case in combination.factors:
            if case not in cases:
                raise InputError(
                    f"combination {combination.name!r}: load case {case!r} has no loads"
                    f"{nearest(case, cases)}; cases are {', '.join(cases) or 'none'}"
                )


def nearest(word: str, known: Iterable[str]) -> str:
    """A hint at the nearest known word, with its brackets; empty where none is near."""
    close = difflib.get_close_matches(word, list(known), 1)
    return f" (did you mean {close[0]!r}?)" if close else ""
