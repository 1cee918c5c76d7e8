"""A section as the text of a section file: what a dropped drawing becomes on the desk."""

from __future__ import annotations

import tomlkit

from ..geometry.outline.contour import Contour
from ..geometry.section import Section

#: Digits of a coordinate: a millionth of a millimetre in ten metres.
_DIGITS = 10


def drawn_text(section: Section, source: str) -> str:
    """One outline a region, its arcs as bulges.

    Parameters
    ----------
    section : Section
    source : str
        The file it comes from, for the first comment.
    """
    lines = [f"# From the drawing {_plain(source)}", f"name = {_quoted(section.name)}",
             f'unit = "{section.unit}"']  # fmt: skip
    lines += [f"# {_plain(note)}" for note in section.notes]
    for k, region in enumerate(section.regions, start=1):
        lines += ["", "[[outline]]", f"name = {_quoted(region.name or f'part {k}')}"]
        lines += ["points = [", *_vertices(region.outline, "    "), "]"]
        if region.holes:
            lines.append("holes = [")
            for hole in region.holes:
                lines += ["    [", *_vertices(hole, "        "), "    ],"]
            lines.append("]")
    return "\n".join(lines) + "\n"


def _vertices(contour: Contour, indent: str) -> list[str]:
    rows = []
    for (x, y), bulge in zip(contour.points, contour.bulges, strict=True):
        numbers = [float(x), float(y), *([float(bulge)] if bulge else [])]
        rows.append(f"{indent}[{', '.join(_number(n) for n in numbers)}],")
    return rows


def _number(value: float) -> str:
    text = f"{value:.{_DIGITS}g}"
    return text if any(c in text for c in ".en") else f"{text}.0"


def _plain(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)


def _quoted(text: str) -> str:
    return tomlkit.item(_plain(text)).as_string()
