"""Bounds on what a drawing may hold, so that a hostile or mistaken file ends in a sentence, not in
a hang."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from os import PathLike

import numpy as np

from ..errors import FileFormatError, SoapfilmError
from ..input_file import content

#: A section drawing holds tens of kilobytes; whole sheets with blocks and dimensions a few
#: megabytes.
MAX_BYTES = 10_000_000
#: A model of a whole building; of it only profiles are read.
MAX_MODEL_BYTES = 60_000_000
#: Entities (DXF), elements (SVG), geometries (GeoJSON, WKT), copies of blocks included.
MAX_ENTITIES = 20_000
#: Edges of all contours together, arcs of fitted curves included.
MAX_EDGES = 30_000
#: Parts of the file's own structure: DXF records, XML elements.
MAX_RECORDS = 100_000
#: Closed contours, and pairs of them whose boxes overlap (each pair costs one polygon
#: intersection).
MAX_CONTOURS = 2_000
MAX_PAIRS = 20_000
#: Nesting of groups, blocks, lists and expressions.
MAX_DEPTH = 32
#: Beyond this no section is drawn in any unit, and products of coordinates begin to lose their
#: range.
MAX_COORDINATE = 1e12
#: An arc of bulge 1e6 lacks a four-millionth of a radian to the full circle.
MAX_BULGE = 1e6


def read_bytes(path: str | PathLike[str], limit: int = MAX_BYTES) -> bytes:
    """The whole file, if it is not larger than the limit and not empty.

    Raises
    ------
    FileFormatError
        If the file cannot be opened, is empty or too large.
    """
    try:
        data = content(path, limit)
    except FileFormatError as error:
        raise FileFormatError(f"the drawing {str(path)!r} {error}") from error
    if not data.strip():
        raise FileFormatError("the file is empty; give a drawing")
    if len(data) > limit:
        raise FileFormatError(
            f"the file is larger than {limit // 1_000_000} MB; "
            "keep only the section's outlines in it"
        )
    return data


def check_count(count: int, limit: int, what: str) -> None:
    """Stop a reader that has met more of something than a section can need."""
    if count > limit:
        raise FileFormatError(
            f"more than {limit} {what}; keep only the section's outlines in the file"
        )


@contextmanager
def guarded(kind: str) -> Iterator[None]:
    """Turn whatever a parser raises on a damaged file into one sentence.

    Parsers of other projects promise no fixed set of exceptions for arbitrary bytes, so the net is
    wide on purpose; our own errors, which know more, pass through. Numbers that overflow on the way
    are caught later, where every coordinate must be finite, hence the silenced floating-point
    warnings.
    """
    try:
        with np.errstate(all="ignore"):
            yield
    except (SoapfilmError, MemoryError):
        raise
    except Exception as error:
        reason = " ".join(str(error).split())[:160] or "no details"
        raise FileFormatError(
            f"cannot be read as {kind} ({type(error).__name__}: {reason}); "
            "save it again from its program"
        ) from error
