"""What a study came to, in a few lines: rows, errors, and the range of its main results."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..text.blocks import HeadedRows
from ..text.number import number
from ..text.rendering import paragraph, render_rows, titled
from .columns import MAIN, column_unit, column_words

if TYPE_CHECKING:
    from ...solver.study.run.store import Store
    from ...solver.study.run.sweep import Progress, Study

_ERRORS = 5


def study_summary(study: Study, store: Store, state: Progress) -> str:
    """The summary as text."""
    plan = study.plan
    what = {"grid": "combinations", "list": "rows of a list", "sample": f"points ({plan.method})"}
    title = f"{study.name}: {state.total} {what[plan.kind]} of {', '.join(plan.names)}"
    lines = [*titled(title), ""]
    before = f", {state.found} found finished" if state.found else ""
    lines.append(f"{state.solved} rows solved{before}, {state.failed} with an error")
    if state.failed:
        for n, error in store.errors(_ERRORS):
            lines += paragraph(f"row {n}: {error}", "  ", "    ")
        if state.failed > _ERRORS:
            lines.append(f"  and {state.failed - _ERRORS} more")
    ranges = study_ranges(study, store)
    if ranges:
        grid = HeadedRows(["", "minimum", "maximum", ""], [], ranges, words=1)
        lines += ["", *render_rows(grid).splitlines()]
    return "\n".join(lines) + "\n"


def study_ranges(study: Study, store: Store) -> list[tuple[str, str, str, str]]:
    """Words, minimum and maximum value and unit of every main result that varies."""
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
