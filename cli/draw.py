"""`soapfilm draw FILE`: see a section before it is solved, and write its outline as a drawing."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import check_writable, write_bytes
from .failure import about
from .loading import output_unit
from .options import drawing_words, figure_path, section_file

if TYPE_CHECKING:
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


def run(options: argparse.Namespace) -> None:
    """Print what the file holds, draw it, write its outline; then tell what is wrong with it."""
    if options.figure is None and options.outline is None:
        options.figure = f"{Path(options.file).stem}-drawing.svg"
    paths = [path for path in (options.figure, options.outline) if path]
    for path in paths:
        check_writable(path)
    if len({Path(path).resolve() for path in paths}) < len(paths):
        raise InputError("--figure and --outline name the same file; give each its own")
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


def _drawing_path(text: str) -> str:
    if Path(text).suffix.lower() not in (".dxf", ".svg"):
        raise argparse.ArgumentTypeError(
            f"{text!r} does not say which kind of drawing; end it in .dxf or .svg"
        )
    return text
