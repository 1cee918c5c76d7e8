"""`soapfilm report FILE`: one self-contained HTML page of everything about a section or member."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..geometry.errors import InputError
from ..geometry.input_file import name_of
from ..report.files import check_writable, write_text
from .actions import case_options
from .failure import check_accuracy
from .loading import keep_sections, material_option, output_unit
from .options import accuracy, page_path, section_file
from .report_documents import document_of

_PAPERS = ("A4", "letter")
_MEGABYTE = 1_000_000


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser, "section file, drawing, rolled shape, member file or study file")
    output_unit(parser)
    material_option(parser)
    case_options(parser)
    parser.add_argument(
        "--compare",
        metavar="SECTION",
        action="append",
        default=[],
        help="put this section file or rolled shape beside FILE (may be repeated)",
    )
    accuracy(parser)
    parser.add_argument(
        "-o",
        "--output",
        metavar="PATH",
        type=page_path,
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
    output = options.output or f"{_name(options.file)}.html"
    check_writable(output)
    if options.pdf is not None:
        _check_pdf(options)
    keep_sections()
    document, length_unit, solved = document_of(options)
    from ..report.page.layout import page

    text = page(document)
    write_text(output, text)
    print(f"report written to {output} ({len(text.encode()) / _MEGABYTE:.1f} MB, opens offline)")
    if options.pdf is not None:
        from ..report.page.printing import print_pdf

        paper = options.paper or ("letter" if length_unit in ("in", "ft") else "A4")
        print_pdf(page(document, paper), options.pdf)
        print(f"printed to {options.pdf}")
    check_accuracy(solved)


def _name(file: str) -> str:
    """What a page is called after; a rolled shape's designation may hold a fraction."""
    return name_of(file) if Path(file).exists() else file.replace("/", "-")


def _check_pdf(options: argparse.Namespace) -> None:
    """Refuse before the work what would fail after it."""
    from ..report.page.printing import browser

    if not options.pdf.lower().endswith(".pdf"):
        raise InputError(f"cannot print to {options.pdf}: end its name in .pdf")
    check_writable(options.pdf)
    browser()
