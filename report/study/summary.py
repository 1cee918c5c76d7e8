"""What a study came to, in a few lines: rows, errors, and the range of its main results."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from ..text.number import number
from .columns import MAIN, column_unit, column_words

if TYPE_CHECKING:
    from ...solver.study.run.store import Store
    from ...solver.study.run.sweep import Progress, Study

_WIDTH = 79
_ERRORS = 5


def study_summary(study: Study, store: Store, state: Progress) -> str:
    """The summary as text."""
    plan = study.plan
    what = {"grid": "combinations", "list": "rows of a list", "sample": f"points ({plan.method})"}
    title = f"{study.name}: {state.total} {what[plan.kind]} of {', '.join(plan.names)}"
    lines = [*textwrap.wrap(title, _WIDTH), "=" * min(len(title), _WIDTH), ""]
    before = f", {state.found} found finished" if state.found else ""
    lines.append(f"{state.solved} rows solved{before}, {state.failed} with an error")
    if state.failed:
        for n, error in store.errors(_ERRORS):
            lines += textwrap.wrap(
                f"row {n}: {error}", _WIDTH, initial_indent="  ", subsequent_indent="    "
            )
        if state.failed > _ERRORS:
            lines.append(f"  and {state.failed - _ERRORS} more")
    lines += _printed(study_ranges(study, store))
    return "\n".join(lines) + "\n"


def study_ranges(study: Study, store: Store) -> list[tuple[str, str, str, str]]:
    """Words, least and greatest value and unit of every main result that varies."""
    rows = []
    for column in MAIN:
        if column not in store.results:
            continue
        low, high = store.range(column)
        if isinstance(low, (int, float)) and isinstance(high, (int, float)):
            rows.append(
                (
                    column_words(column),
                    number(low, 5),
                    number(high, 5),
                    column_unit(column, study.base.unit),
                )
            )
    return rows


def _printed(rows: list[tuple[str, str, str, str]]) -> list[str]:
    if not rows:
        return []
    rows = [("", "least", "greatest", ""), *rows]
    a, b, c = (max(len(row[k]) for row in rows) for k in range(3))
    return [
        "",
        *(f"{w.ljust(a)}  {x.rjust(b)}  {y.rjust(c)}  {u}".rstrip() for w, x, y, u in rows),
    ]
