"""`soapfilm report FILE`: one self-contained HTML page of everything about a section."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import check_writable, write_text
from .actions import case_options, given_cases, with_strength
from .failure import about
from .loading import output_unit, section_of
from .options import ACCURACY, accuracy, section_file
from .progress import shown

if TYPE_CHECKING:
    from ..report.page.document import Document

_PAPERS = ("A4", "letter")
_MEGABYTE = 1_000_000


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    case_options(parser)
    accuracy(parser)
    parser.add_argument(
        "-o",
        "--output",
        metavar="PATH",
        help="the page to write (default: FILE's name with .html, in this folder)",
    )
    parser.add_argument(
        "--pdf",
        metavar="PATH",
        help="print the page to a PDF too, through Chromium or Chrome where one is installed",
    )
    parser.add_argument(
        "--paper",
        choices=_PAPERS,
        help="paper of the PDF (default: A4 with metric units, letter with US ones)",
    )


def run(options: argparse.Namespace) -> None:
    """Solve, lay the report out, write it, and say how large it is."""
    output = options.output or f"{Path(options.file).stem}.html"
    if not output.lower().endswith((".html", ".htm")):
        raise InputError(f"cannot write {output}: the page is HTML; end its name in .html")
    check_writable(output)
    if options.pdf is not None:
        _check_pdf(options)
    document, length_unit = _document(options)
    from ..report.page.layout import page

    text = page(document)
    write_text(output, text)
    print(f"report written to {output} ({len(text.encode()) / _MEGABYTE:.1f} MB, opens offline)")
    if options.pdf is not None:
        from ..report.page.printing import print_pdf

        paper = options.paper or ("letter" if length_unit in ("in", "ft") else "A4")
        print_pdf(page(document, paper), options.pdf)
        print(f"printed to {options.pdf}")


def _check_pdf(options: argparse.Namespace) -> None:
    """Refuse before the work what would fail after it."""
    from ..report.page.printing import browser

    if not options.pdf.lower().endswith(".pdf"):
        raise InputError(f"cannot print to {options.pdf}: end its name in .pdf")
    check_writable(options.pdf)
    browser()


def _document(options: argparse.Namespace) -> tuple[Document, str]:
    """The report of what FILE holds, and its length unit."""
    from ..geometry.units import Units
    from ..report.page.section_report import section_report, stress_report

    with about(options.file):
        section = section_of(options)
        section = with_strength(section, options.strength, options.factor, Units(section.unit))
    cases = given_cases(options, Units(section.unit))
    origin = _origin(options)
    with about(options.file):
        from ..solver.section import solve_section

        result = solve_section(section, options.accuracy)
        if not cases:
            return section_report(result, origin), section.unit
        from ..solver.section.stress import solve_stress

        stress = solve_stress(
            result,
            cases,
            factor=options.factor or 1.0,
            progress=lambda items: shown(list(items), "load cases"),
        )
        return stress_report(stress, origin), section.unit


def _origin(options: argparse.Namespace):  # type: ignore[no-untyped-def]
    """Command, input files and date."""
    from datetime import date

    from ..report.page.origin import Origin

    paths = [options.file, *([options.cases] if options.cases else [])]
    return Origin.of(typed(options), paths, date.today().isoformat())


def typed(options: argparse.Namespace) -> str:
    """The command that gives this report again, apart from where it is written.

    >>> from argparse import Namespace
    >>> typed(Namespace(file="deck.toml", actions=["T = 2 kN*m"], accuracy=1e-7))
    "soapfilm report deck.toml 'T = 2 kN*m' --accuracy 1e-07"
    """
    words = ["soapfilm", "report", options.file, *getattr(options, "actions", [])]
    for name in ("unit", "output_unit", "cases", "through", "strength", "factor"):
        value = getattr(options, name, None)
        if value is not None:
            words += [f"--{name.replace('_', '-')}", str(value)]
    if options.accuracy != ACCURACY:
        words += ["--accuracy", f"{options.accuracy:g}"]
    return shlex.join(words)
