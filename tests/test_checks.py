"""Every figure from outside beside ours: the registry that the validation book is printed from."""

from __future__ import annotations

from pathlib import Path

import pytest

import benchmarks
from benchmarks.book_tables import plain
from benchmarks.checks import Check, all_checks, figures
from benchmarks.checks.figure import half_unit

CHECKS = all_checks()


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_check(check: Check) -> None:
    """Ours lies within the tolerance of the value and of the printed digits; where it leaves those
    digits the figure says why."""
    found, figure = check.find(), check.figure
    assert len(found.values) == len(figure.values) == len(figure.printed)
    for ours, value in zip(found.values, figure.values, strict=True):
        assert check.within[0] <= ours / value - 1 <= check.within[1]
    for ours, printed in zip(found.values, figure.published, strict=True):
        assert check.published_within[0] <= ours / printed - 1 <= check.published_within[1]
    assert figure.why or not check.beyond_print(found), "the figure needs a reason (`why`)"


@pytest.mark.parametrize("check", [c for c in CHECKS if c.exact], ids=lambda c: c.name)
def test_guaranteed_interval_holds_the_value(check: Check) -> None:
    """Of a figure that is an exact solution, to its printed digits."""
    found, figure = check.find(), check.figure
    assert found.guaranteed
    (ours,), (half,) = found.values, found.halves
    assert abs(ours - figure.value) <= half + check.value_error


def test_every_figure_is_checked_once() -> None:
    """A figure copied and then forgotten would look checked."""
    names = [check.name for check in CHECKS]
    assert sorted(names) == sorted(figures())


def test_the_validation_book_has_them_all() -> None:
    """`python -m benchmarks.validation --checks` writes it again."""
    lines = set()
    for line in (Path(benchmarks.__file__).parent / "VALIDATION.md").read_text().splitlines():
        cells = line.strip("| ").split(" | ")
        lines.add(tuple(cells[:2]))
    for figure in figures().values():
        unit = "" if figure.unit in ("", "-") else f" [{figure.unit}]"
        assert (plain(figure.case), plain(figure.quantity + unit)) in lines, figure.name


def test_every_figure_says_where_it_is_from() -> None:
    words = ("read", "memory", "derived", "common practice")
    for figure in figures().values():
        assert figure.source, figure.name
        assert any(word in figure.provenance for word in words), figure.name


@pytest.mark.parametrize(
    ("text", "half"),
    [("0.140", 5e-4), ("28.0", 0.05), ("139", 0.5), ("16000", 50), ("2070", 5), ("30", 0.5),
     ("330", 0.5), ("2.93e-06", 5e-9), ("-0.25", 5e-3), ("82200", 50), ("3605", 0.5)],
)  # fmt: skip
def test_half_of_the_last_printed_digit(text: str, half: float) -> None:
    assert half_unit(text) == pytest.approx(half, rel=1e-12)
