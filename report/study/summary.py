"""What a study came to, in a few lines: rows, errors, and the range of its main results."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from ...solver.study.file.member_base import MemberBase
from ..text.blocks import HeadedRows
from ..text.number import number
from ..text.rendering import paragraph, render_rows, titled
from .columns import BUCKLING, HERTZ, MAIN, column_unit, column_words

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
    lines += paragraph(f"{state.solved} rows solved{before}, {state.failed} with an error")
    if state.failed:
        for n, error in store.errors(_ERRORS):
            lines += paragraph(f"row {n}: {error}", "  ", "    ")
        if state.failed > _ERRORS:
            lines += paragraph(f"and {state.failed - _ERRORS} more", "  ")
    ranges = study_ranges(study, store)
    if ranges:
        grid = HeadedRows(["", "minimum", "maximum", ""], [], ranges, words=1)
        lines += ["", *render_rows(grid).splitlines()]
    for note in theory_notes(store):
        lines += ["", *paragraph(note, "* ", "  ")]
    return "\n".join(lines) + "\n"


def theory_notes(store: Store) -> list[str]:
    """By which theory the rows of a member's study are judged."""
    if "theory" not in store.results:
        return []
    judged, alone = 0, 0
    reasons: dict[str, int] = {}  # with the first row that has it
    for row, theory, reason in store.rows(["number", "theory", "classical_alone_because"]):
        judged += bool(theory)
        if theory == "classical":
            alone += 1
            reasons.setdefault(reason, row)
    if alone == judged:
        named = [reason for reason in reasons if reason]
        why = f" ({named[0]})" if len(named) == 1 else ""
        return [f"Every row is judged by the classical theory alone{why}."] if judged else []
    notes = [
        "Rows are judged as `soapfilm member` judges a member: by sections that deform. What the "
        "classical theory gives stands in columns of its own."
    ]
    if alone:
        reason, row = next(iter(reasons.items()))
        notes.append(
            f"{alone} of {judged} rows are judged by the classical theory alone (column "
            f"theory): row {row}, for one: {reason}."
        )
    return notes


def study_ranges(study: Study, store: Store) -> list[tuple[str, str, str, str]]:
    """Words, minimum and maximum value and unit of every main result that varies."""
    rows = []
    base = study.base
    shown = [*MAIN, *(BUCKLING if isinstance(base, MemberBase) and base.judges_buckling else ())]
    hertz = [column for column in store.results if column.endswith(HERTZ)]
    columns = [*(column for column in shown if column in store.results), *hertz]
    for column, (low, high) in zip(columns, store.ranges(columns), strict=True):
        if isinstance(low, (int, float)) and isinstance(high, (int, float)) and isfinite(high):
            unit, factor = column_unit(column, study.base.unit)
            least, most = (number(factor * value, 5) for value in (low, high))
            rows.append((column_words(column), least, most, unit))
    return rows
