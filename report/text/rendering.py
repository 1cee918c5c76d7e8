"""Tables as text: every block laid out in aligned columns, folded to the terminal it is shown on.

Columns are as wide as their widest entry. On a terminal that is too narrow for them, columns of
words are folded first; then the columns of numbers go on below, beside their words again.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from .blocks import CaseGroup, CaseRow, Group, HeadedRows, Passage
from .markup import Markup, chosen
from .terminal import terminal_width

_GAP = "  "
#: Sentences are folded here: the width every terminal has.
_WIDTH = 79
#: Cases side by side before a table goes on below.
_ACROSS = 6
#: Words are not folded into columns narrower than this.
_NARROWEST = 12
_NUMBER_THIRD = (False, False, True, False)
#: What stands in place of a number.
_NO_NUMBER = ("-", "none", "uplift", "unbounded", "undefined")


def render(title: str, groups: Iterable[Group], notes: Iterable[str] = ()) -> str:
    """A table of quantities: words, symbols, values and units.

    Parameters
    ----------
    title : str
    groups : iterable of Group
        Those without rows are left out.
    notes : iterable of str
        Printed below, folded.
    """
    kept = [group for group in groups if group.rows]
    if (markup := chosen()) is not None:
        return _whole(_marked_groups(markup, title, kept), notes)
    cells = [[r.quantity, r.symbol, r.value, r.unit] for group in kept for r in group.rows]
    widths = _fitted(_widths(cells, 4), [_least(cells, 0), *_widths(cells, 4)[1:]])
    lines = titled(title)
    for group in kept:
        lines += ["", *titled(group.heading, "-")]
        for row in group.rows:
            content = [row.quantity, row.symbol, row.value, row.unit]
            lines += _row(content, widths, [False, False, True, False])
            lines += paragraph(row.note, "    ", "    ")
    return _whole(lines, notes)


def render_cases(
    title: str, cases: Sequence[str], groups: Iterable[CaseGroup], notes: Iterable[str] = ()
) -> str:
    """A table with one column a case; cases are numbered, their names stand in a list above it.

    Parameters
    ----------
    title : str
    cases : sequence of str
        What is said of each case.
    groups : iterable of CaseGroup
    notes : iterable of str
    """
    kept = [group for group in groups if group.rows]
    if (markup := chosen()) is not None:
        return _whole(_marked_cases(markup, title, cases, kept), notes)
    digits = len(str(len(cases)))
    lines = [*titled(title), ""]
    for n, case in enumerate(cases, 1):
        first = f"{n:>{digits}}{_GAP}"
        whole = terminal_width() is None
        lines += [first + case] if whole else paragraph(case, first, " " * len(first))
    rows = [row for group in kept for row in group.rows]
    words = [[row.quantity, row.symbol, row.unit] for row in rows]
    q, s, u = _widths(words, 3)
    values = [max([len(str(k + 1)), *(len(r.values[k]) for r in rows)]) for k in range(len(cases))]
    for part in _parts(values, q + s + u + 3 * len(_GAP)):
        widths = _fitted(
            [q, s, *(values[k] for k in part), u],
            [_least(words, 0), s, *(values[k] for k in part), u],
        )
        lines += ["", *_case_rows(kept, part, widths)]
    return _whole(lines, notes)


def _marked_groups(markup: Markup, title: str, groups: Sequence[Group]) -> list[str]:
    lines = titled(title)
    for group in groups:
        lines += titled(group.heading, "-")
        rows = [[row.quantity, row.symbol, row.value, row.unit] for row in group.rows]
        lines += markup.grid([["quantity", "symbol", "value", "unit"]], rows, _NUMBER_THIRD)
        lines += [
            line
            for row in group.rows
            if row.note
            for line in markup.sentence(f"{row.quantity}: {row.note}", True)
        ]
    return lines


def _marked_cases(
    markup: Markup, title: str, cases: Sequence[str], groups: Sequence[CaseGroup]
) -> list[str]:
    lines = titled(title)
    for n, case in enumerate(cases, 1):
        lines += markup.sentence(f"{n}: {case}", True)
    numbers = [str(n) for n in range(1, len(cases) + 1)]
    for group in groups:
        lines += titled(group.heading, "-")
        rows = [[row.quantity, row.symbol, *row.values, row.unit] for row in group.rows]
        right = [False, False, *[True] * len(cases), False]
        lines += markup.grid([["quantity", "symbol", *numbers, "unit"]], rows, right)
    return lines


def _case_rows(groups: Sequence[CaseGroup], part: range, widths: Sequence[int]) -> list[str]:
    right = [False, False, *[True] * len(part), False]
    lines = _row(["", "", *(str(k + 1) for k in part), ""], widths, right)
    for n, group in enumerate(groups):
        lines += [*([""] if n else []), *titled(group.heading, "-")]
        for row in group.rows:
            lines += _row(_case_cells(row, part), widths, right)
    return lines


def _case_cells(row: CaseRow, part: range) -> list[str]:
    return [row.quantity, row.symbol, *(row.values[k] for k in part), row.unit]


def _parts(values: Sequence[int], beside: int) -> Iterable[range]:
    """Cases that stand side by side, as many as there is room for beside the words."""
    room = terminal_width()
    start = 0
    while start < len(values):
        end = start + 1
        while end < len(values) and end - start < _ACROSS:
            if room and beside + sum(len(_GAP) + w for w in values[start : end + 1]) > room:
                break
            end += 1
        yield range(start, end)
        start = end


def render_passage(passage: Passage) -> str:
    """Rows and sentences one after the other."""
    return "".join(
        render_rows(item) if isinstance(item, HeadedRows) else folded(item.texts)
        for item in passage
    )


def render_rows(block: HeadedRows) -> str:
    """Rows under headings, with a rule between where the columns tell words from numbers.

    Examples
    --------
    >>> print(render_rows(HeadedRows(["shape", "A"], [], [["W10X49", "14.4"]], words=1)), end="")
    shape      A
    W10X49  14.4
    """
    count = len(block.headings)
    head = [list(block.headings), *([list(block.units)] if any(block.units) else [])]
    rows = [*head, *map(list, block.rows)]
    right = [
        k >= (block.words or 0) and all(_numeric(row[k]) for row in block.rows)
        for k in range(count)
    ]
    if (markup := chosen()) is not None:
        return "\n".join(markup.grid(head, [list(row) for row in block.rows], right)) + "\n"
    widths = _widths(rows, count)
    least = [
        w if r else _least(rows, k) for k, (w, r) in enumerate(zip(widths, right, strict=True))
    ]
    room = terminal_width()
    tables = []
    for columns in _columns(least, room):
        fitted = _fitted([widths[k] for k in columns], [least[k] for k in columns])
        side = [right[k] for k in columns]
        lines = [line for row in head for line in _row([row[k] for k in columns], fitted, side)]
        if block.words is None:
            lines.append(_GAP.join("-" * width for width in fitted))
        for row in block.rows:
            lines += _row([row[k] for k in columns], fitted, side)
        tables.append("\n".join(lines) + "\n")
    return "\n".join(tables)


def _columns(least: Sequence[int], room: int | None) -> list[list[int]]:
    """Columns that stand side by side: all, or the first one beside each run of those that fit."""
    if not room or sum(least) + len(_GAP) * (len(least) - 1) <= room:
        return [list(range(len(least)))]
    parts, used = [[0]], least[0]
    for k in range(1, len(least)):
        if used + len(_GAP) + least[k] > room and len(parts[-1]) > 1:
            parts.append([0])
            used = least[0]
        parts[-1].append(k)
        used += len(_GAP) + least[k]
    return parts


def _numeric(text: str) -> bool:
    return text in ("", *_NO_NUMBER) or text.lstrip("+-")[:1].isdigit()


# -- rows and columns ------------------------------------------------------------------------------
def _widths(rows: Sequence[Sequence[str]], count: int) -> list[int]:
    return [max((len(row[k]) for row in rows), default=0) for k in range(count)]


def _least(rows: Sequence[Sequence[str]], column: int) -> int:
    """Width that a column of words can be folded to: its longest word, or all of a short column."""
    widest = max((len(row[column]) for row in rows), default=0)
    word = max((len(word) for row in rows for word in row[column].split()), default=0)
    return min(widest, max(word, _NARROWEST))


def _fitted(widths: Sequence[int], least: Sequence[int]) -> list[int]:
    """Widths of columns on this terminal: the widest that can be folded gives way first."""
    fitted, room = list(widths), terminal_width()
    over = sum(fitted) + len(_GAP) * (len(fitted) - 1) - room if room else 0
    while over > 0:
        loose = [k for k in range(len(fitted)) if fitted[k] > least[k]]
        if not loose:
            break
        fitted[max(loose, key=lambda k: fitted[k])] -= 1
        over -= 1
    return fitted


def _row(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> list[str]:
    """The lines of a row: one, or more when words are folded; numbers stand on the first."""
    folded_cells = [
        [cell] if len(cell) <= width or side else textwrap.wrap(cell, width)
        for cell, width, side in zip(cells, widths, right, strict=True)
    ]
    return [
        _GAP.join(
            text.rjust(width) if side else text.ljust(width)
            for text, width, side in zip(
                (lines[n] if n < len(lines) else "" for lines in folded_cells),
                widths,
                right,
                strict=True,
            )
        ).rstrip()
        for n in range(max(map(len, folded_cells)))
    ]


# -- titles and sentences --------------------------------------------------------------------------
def titled(title: str, mark: str = "=") -> list[str]:
    """A title and its underline."""
    if (markup := chosen()) is not None:
        return markup.heading(title, 1 if mark == "=" else 2)
    width = _sentence_width()
    lines = [title] if terminal_width() is None else textwrap.wrap(title, width) or [""]
    return [*lines, mark * min(max(map(len, lines)), width)]


def folded(sentences: Iterable[str], first: str = "") -> str:
    """Sentences as paragraphs, each with `first` in front of it; "" when there are none."""
    lines = [line for text in sentences for line in paragraph(text, first, " " * len(first))]
    return "\n".join(lines) + "\n" if lines else ""


def paragraph(text: str, first: str = "", rest: str = "") -> list[str]:
    """The lines of one paragraph."""
    if (markup := chosen()) is not None:
        return markup.sentence(text, first.strip() in ("*", "-"))
    return textwrap.wrap(text, _sentence_width(), initial_indent=first, subsequent_indent=rest)


def _sentence_width() -> int:
    return min(_WIDTH, terminal_width() or _WIDTH)


def _whole(lines: Sequence[str], notes: Iterable[str]) -> str:
    noted = folded(notes, "* ")
    return "\n".join(lines) + "\n" + (f"\n{noted}" if noted else "")
