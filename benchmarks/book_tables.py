"""The registry's checks as tables of Markdown, one a topic, with numbered sources below."""

from __future__ import annotations

from collections.abc import Iterable

from .checks import Check, Found, Topic

HEADS = ("case", "quantity", "published", "ours", "difference", "from", "why it differs")
MEASURED_HEADS = (
    "tested", "quantity", "measured", "scatter", "predicted", "deviation", "from", "why",
)  # fmt: skip
#: Relative differences below this are rounding of values that were written with fewer digits.
ROUNDING = 1e-12


def topic_table(topic: Topic) -> tuple[str, list[float]]:
    """Heading, text, table and sources of a topic; and the checks' largest differences."""
    sources: dict[tuple[str, str], int] = {}
    rows, differences = [], []
    for check in topic.checks:
        figure, found = check.figure, check.find()
        key = (figure.source, figure.provenance)
        number = sources.setdefault(key, len(sources) + 1)
        rows.append(row(check, found, number, measured=topic.measured))
        differences.append(
            max(abs(o / v - 1) for o, v in zip(found.values, figure.values, strict=True))
        )
    parts = [f"### {topic.title}", ""]
    if topic.about:
        parts += [topic.about, ""]
    parts += [table(MEASURED_HEADS if topic.measured else HEADS, rows), ""]
    parts += [
        f"[{number}] {plain(source)} ({plain(provenance)})  "
        for (source, provenance), number in sources.items()
    ]
    return "\n".join(parts), differences


def row(check: Check, found: Found, source: int, *, measured: bool = False) -> list[str]:
    """Cells of one check; what was measured always says why it deviates."""
    figure = check.figure
    quantity = figure.quantity if figure.unit in ("", "-") else f"{figure.quantity} [{figure.unit}]"
    printed = ", ".join(figure.printed)
    ours = ", ".join(
        number(v, h, found.guaranteed) for v, h in zip(found.values, found.halves, strict=True)
    )
    difference = offs(found.values, figure.values)
    if figure.published != figure.values:
        printed += f" ({', '.join(f'{v:.10g}' for v in figure.values)})"
        difference = f"{offs(found.values, figure.published)} ({difference})"
    why = figure.why if measured or check.beyond_print(found) else ""
    scatter = [figure.scatter] if measured else []
    return [figure.case, quantity, printed, *scatter, ours, difference, f"[{source}]", why]


def number(value: float, half: float, guaranteed: bool) -> str:
    """A value with its interval: all digits that carry it, with one more."""
    if half == 0:
        return f"{value:.9g}"
    sign = "±" if guaranteed else "~"
    return (
        f"{value:.12g} {sign} {half:.0e}"
        if half < 1e-9 * abs(value)
        else (f"{value:.9g} {sign} {half:.0e}")
    )


def offs(values: Iterable[float], others: Iterable[float]) -> str:
    """Relative differences."""
    return ", ".join(off(v / o - 1) for v, o in zip(values, others, strict=True))


def off(relative: float) -> str:
    """A relative difference as a reader wants it: percent when it matters, else its size."""
    if abs(relative) < ROUNDING:
        return "0"
    if abs(relative) >= 5e-5:
        return f"{100 * relative:+.2g} %"
    return f"{relative:+.0e}"


def table(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A table of Markdown."""
    heads = list(heads)
    lines = [heads, ["---"] * len(heads), *([plain(cell) for cell in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def plain(text: str) -> str:
    """Text that neither ends a cell nor starts emphasis."""
    return text.replace("|", "\\|").replace("*", "\\*").replace("_", "\\_")
