"""The report of a study: what was varied, what came out, and every row while they are few."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
from ..study.columns import MAIN, column_unit, column_words, with_unit
from ..study.figure import plot_study
from ..study.summary import study_ranges, theory_notes
from ..text import caution
from ..text.blocks import as_sentence
from ..text.number import number
from .document import Block, Document, Grid, Prose, Remarks, ReportPart
from .origin import Origin, program, reproduction
from .picture import picture

if TYPE_CHECKING:
    from ...solver.study.run.store import Store
    from ...solver.study.run.sweep import Study

#: Rows printed in the page; all are in the study's own file.
_MOST_ROWS, _MOST_ERRORS = 200, 20
_PLANS = {"grid": "every combination", "list": "rows of a list", "sample": "a sample"}


def study_report(study: Study, store: Store, origin: Origin) -> Document:
    """The report of a study's finished rows.

    Raises
    ------
    InputError
        When no row is finished.
    """
    total, finished, failed = store.counts()
    if finished == failed:
        raise InputError(
            f"no row of the study is solved ({failed} of {total} ended with an error); "
            "solve it first with: soapfilm sweep"
        )
    plan = study.plan
    words = [
        f"The study \u201c{study.name}\u201d varies {', '.join(plan.names)} over "
        f"{_PLANS[plan.kind]}: {total} rows, of which {finished - failed} are solved"
        + (f" and {failed} ended with an error." if failed else ".")
    ]
    parts = [
        ReportPart("job", "The job", [Prose(words)]),
        ReportPart("figures", "Figures", _figures(study, store)),
        ReportPart("results", "What came out", _ranges(study, store)),
        ReportPart("inputs", "What was varied", [_parameters(study)]),
        ReportPart("rows", "Rows", _rows(study, store)),
        ReportPart("cautions", "Assumptions and cautions", [Remarks(_notes(study, store, failed))]),
        reproduction(origin),
    ]
    return Document(study.name, f"A study over {', '.join(plan.names)}.", parts, {}, program())


def _figures(study: Study, store: Store) -> list[Block]:
    """The main result; what cannot be drawn is said."""
    main = study.base.main
    try:
        axes = plot_study(study, store, main)
    except InputError as error:
        return [Prose([f"No figure: {error}."])]
    unit, _ = column_unit(main, study.base.unit)
    over = " and ".join(study.plan.names[:2])
    caption = f"{column_words(main)}{f' in {unit}' if unit else ''} over {over}"
    return [picture(axes, f"Diagram of the {caption}", as_sentence(caption))]


def _ranges(study: Study, store: Store) -> list[Block]:
    return [Grid(("result", "minimum", "maximum", "unit"), study_ranges(study, store))]


def _parameters(study: Study) -> Grid:
    rows = [(p.name, ", ".join(p.sets), _values(p)) for p in study.plan.parameters]
    return Grid(("parameter", "sets", "values"), rows)


def _values(parameter: Any) -> str:
    values = [v if isinstance(v, str) else number(float(v), 6) for v in parameter.values]
    if len(values) > 12:
        values = [*values[:6], "...", *values[-3:]]
    if values:
        return ", ".join(values)
    return f"{number(parameter.low, 6)} to {number(parameter.high, 6)}"


def _rows(study: Study, store: Store) -> list[Block]:
    columns = [c for c in MAIN if c in store.results and not c.endswith("_classical")]
    columns += [c for c in ("theory",) if c in store.results]
    names = list(study.plan.names)
    heads = [*names, *(with_unit(c, study.base.unit) for c in columns)]
    factors = [column_unit(c, study.base.unit)[1] for c in columns]
    rows: list[list[str]] = []
    for row in store.rows([*names, *columns, "error"]):
        if len(rows) == _MOST_ROWS:
            break
        if not row[-1]:
            own, found = row[: len(names)], row[len(names) : -1]
            rows.append([_cell(v) for v in (*own, *map(_times, found, factors))])
    _, finished, failed = store.counts()
    more = finished - failed - len(rows)
    blocks: list[Block] = [Grid(heads, rows, "Main results")]
    if more:
        blocks.append(Prose([f"{more} more rows are in the study's own file."]))
    return blocks


def _times(value: Any, factor: float) -> Any:
    return factor * value if isinstance(value, float) else value


def _cell(value: Any) -> str:
    if value is None:
        return "none"
    return number(float(value), 5) if isinstance(value, (int, float)) else str(value)


def _notes(study: Study, store: Store, failed: int) -> list[str]:
    notes = [f"J of every row is known to {study.accuracy:.0e} or better, guaranteed."]
    notes += [f"Row {n}: {error}" for n, error in store.errors(_MOST_ERRORS)]
    if failed > _MOST_ERRORS:
        notes.append(f"{failed - _MOST_ERRORS} more rows ended with an error.")
    return [*notes, *theory_notes(store), caution.SECTION]
