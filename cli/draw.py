"""`soapfilm draw FILE`: see a section before it is solved, and write its outline as a drawing."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..report.files import write_bytes
from .failure import about
from .loading import output_unit
from .options import drawing_words, figure_path, outputs, section_file

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..geometry.section_file.preview import Preview


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="the figure (.svg, .png or .pdf; default: NAME-drawing.svg in this folder)",
    )
    parser.add_argument(
        "--outline",
        metavar="PATH",
        type=_drawing_path,
        help="write the outline itself as a drawing, exact for lines and arcs (.dxf or .svg)",
    )
    parser.add_argument(
        "--cut-out",
        metavar="PATH",
        type=_pdf_path,
        help="sheets to print: the outline true to scale with crop marks, and for a tube the strip "
        "that folds into a length of it (.pdf)",
    )
    parser.add_argument(
        "--scale", metavar="A:B", type=_scale, default=1.0, help="of the cut-out (default 1:1)"
    )
    parser.add_argument(
        "--strip", metavar="LENGTH", help='of a tube on paper, like "200 mm" (default "150 mm")'
    )
    parser.add_argument(
        "--paper", choices=("A4", "letter"), help="of the cut-out (default: A4 with metric units)"
    )


def run(options: argparse.Namespace) -> None:
    """Print what the file holds, draw it, write its outline; then tell what is wrong with it."""
    if not (options.figure or options.outline or options.cut_out):
        options.figure = f"{Path(options.file).stem}-drawing.svg"
    outputs(options, "--figure", "--outline", "--cut-out")
    from ..geometry.section_file.preview import preview

    with about(options.file):
        seen = preview(options.file, **drawing_words(options))
        seen = _in_unit(seen, options.output_unit)
    from ..report.section.preview_table import draw_table

    print(draw_table(seen), end="")
    _write(seen, options)
    if seen.error is not None:
        with about(options.file):
            raise seen.error


def _in_unit(seen: Preview, unit: str | None) -> Preview:
    """The preview in another length unit; an invalid section stays in that of its messages."""
    if unit is None or seen.section is None or seen.error is not None:
        return seen
    from ..geometry.conversion import in_unit
    from ..geometry.section_file.preview import Preview

    return Preview.of(in_unit(seen.section, unit))


def _write(seen: Preview, options: argparse.Namespace) -> None:
    if options.figure:
        from ..report.drawing.preview_figure import plot_preview
        from ..report.section.figure import save

        save(plot_preview(seen), options.figure)
        print(f"figure written to {options.figure}")
    if options.outline and seen.section is not None:
        from ..geometry.drawings import write_drawing

        write_bytes(options.outline, write_drawing(seen.section, Path(options.outline).suffix))
        print(f"outline written to {options.outline}")
    if options.cut_out and seen.section is not None and seen.error is None:
        _write_sheets(seen.section, options)


def _write_sheets(section: Section, options: argparse.Namespace) -> None:
    from ..geometry.units import Units
    from ..report.drawing.cut_out import STRIP, cut_out_sheets
    from ..report.section.figure import save_sheets

    length = Units("mm").read(options.strip, "length", what="--strip") if options.strip else STRIP
    paper = options.paper or ("letter" if section.unit in ("in", "ft") else "A4")
    sheets = cut_out_sheets(section, paper, options.scale, length)
    save_sheets(sheets, options.cut_out)
    count = f"{len(sheets)} sheet{'' if len(sheets) == 1 else 's'}"
    print(f"cut-out written to {options.cut_out} ({count}, print at 100 %)")


def _scale(text: str) -> float:
    left, colon, right = text.partition(":")
    try:
        value = float(left) / (float(right) if colon else 1.0)
    except (ValueError, ZeroDivisionError):
        value = 0.0
    if not 1e-4 <= value <= 100:
        raise argparse.ArgumentTypeError(f"{text!r} is no scale; write it like 1:2")
    return value


def _pdf_path(text: str) -> str:
    if Path(text).suffix.lower() != ".pdf":
        raise argparse.ArgumentTypeError(f"{text!r} is a set of sheets; end it in .pdf")
    return text


def _drawing_path(text: str) -> str:
    if Path(text).suffix.lower() not in (".dxf", ".svg"):
        raise argparse.ArgumentTypeError(
            f"{text!r} does not say which kind of drawing; end it in .dxf or .svg"
        )
    return text
