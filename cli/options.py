"""Options that several commands share, and the checks of their values."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TypedDict

from ..geometry.errors import InputError
from ..report.files import check_writable
from ..report.text.markup import MARKUPS
from ..solver.accuracy import ACCURACY, FINEST, WIDEST

LENGTH_UNITS = ("mm", "cm", "m", "in", "ft")
_FIGURES = (".svg", ".png", ".pdf")


class DrawingWords(TypedDict):
    """How a drawing is read (see `load_section`)."""

    unit: str | None
    arcs_within: str | None
    gap: str | None
    layers: list[str] | None
    profile: str | None


def section_file(
    parser: argparse.ArgumentParser,
    words: str = "section file (.toml), drawing (.dxf, .svg, .geojson, .wkt, .ifc) or rolled "
    "shape, like W10X49",
) -> None:
    """FILE, and how it is read when it is a drawing."""
    parser.add_argument("file", metavar="FILE", help=words)
    drawings(parser)


def drawings(parser: argparse.ArgumentParser) -> None:
    """--unit, --arcs-within, --gap, --layer and --profile: what a drawing does not say itself."""
    parser.add_argument(
        "--unit",
        choices=LENGTH_UNITS,
        help="length unit of a drawing that states none",
    )
    parser.add_argument(
        "--arcs-within",
        metavar="LENGTH",
        help="take a drawing's runs of chords for the arcs they stand for, where these lie within "
        'this length of them, like "0.5 mm"',
    )
    parser.add_argument(
        "--gap",
        metavar="LENGTH",
        help="join a drawing's open ends that lie at most this far apart, like "
        '"0.5 mm" (default: 1e-4 of its diagonal)',
    )
    parser.add_argument(
        "--layer",
        metavar="NAME",
        action="append",
        help="read only this layer of a drawing (may be repeated)",
    )
    parser.add_argument(
        "--profile", metavar="NAME", help="profile of an IFC file that holds several: name or #27"
    )


def drawing_words(options: argparse.Namespace) -> DrawingWords:
    """The options of `drawings` as `load_section` takes them."""
    return {
        "unit": options.unit,
        "arcs_within": options.arcs_within,
        "gap": options.gap,
        "layers": options.layer,
        "profile": options.profile,
    }


def accuracy(parser: argparse.ArgumentParser) -> None:
    """--accuracy of J's interval."""
    parser.add_argument(
        "--accuracy",
        metavar="A",
        type=_accuracy,
        default=ACCURACY,
        help=f"relative width of the guaranteed interval for J (default {ACCURACY:g})",
    )


def tables(parser: argparse.ArgumentParser) -> None:
    """--tables: the markup of what is printed."""
    parser.add_argument(
        "--tables",
        choices=MARKUPS,
        default=MARKUPS[0],
        help="print tables as text (default), or as Markdown or LaTeX for a document of one's own",
    )


def figure_path(text: str) -> str:
    """A path whose extension names a format the figures have."""
    if Path(text).suffix.lower() not in _FIGURES:
        raise argparse.ArgumentTypeError(
            f"{text!r} does not say which kind of figure; end it in {', '.join(_FIGURES)}"
        )
    return text


def csv_path(text: str) -> str:
    """A path that ends in .csv."""
    if Path(text).suffix.lower() != ".csv":
        raise argparse.ArgumentTypeError(f"{text!r} does not end in .csv")
    return text


def page_path(text: str) -> str:
    """A path whose extension says that it is a page."""
    if Path(text).suffix.lower() not in (".html", ".htm"):
        raise argparse.ArgumentTypeError(
            f"{text!r} does not say that it is a page; end its name in .html"
        )
    return text


def outputs(options: argparse.Namespace, *flags: str) -> list[str]:
    """Paths that these options give, checked before the work and not after it.

    Raises
    ------
    InputError
        One cannot be written, or two are one file.
    """
    known: dict[Path, str] = {}
    paths: list[str] = []
    for flag in flags:
        given = getattr(options, flag.removeprefix("--").replace("-", "_"))
        for path in given if isinstance(given, list) else [given] if given else []:
            target = check_writable(path)
            if target in known:
                raise InputError(
                    f"{known[target]} and {flag} name the same file, {path}; give each its own"
                )
            known[target] = flag
            paths.append(path)
    return paths


def _accuracy(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not FINEST <= value <= WIDEST:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a relative width between {FINEST:g} and {WIDEST:g}; try 1e-6"
        )
    return value
