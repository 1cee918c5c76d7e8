"""A section as SVG: one path for each region, its arcs as arc commands, ready to look at and to
read back."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import quoteattr

import numpy as np
from numpy.typing import ArrayLike

from ..section import Section
from .layers import named_regions, slit_layer

#: Fills that stay apart in print and for colour-blind readers: light blue, sand, grey, rose, green,
#: violet.
_FILLS = ("#9db8d2", "#e3cfa0", "#c4c4c4", "#dfa8a0", "#a9cba4", "#c3b1d8")
#: Width and height are stated in a unit that SVG knows.
_PAPER = {"mm": (1, "mm"), "cm": (1, "cm"), "m": (100, "cm"), "in": (1, "in"), "ft": (12, "in")}
_MARGIN = 0.05
#: Arcs that nearly close are written in two halves: one arc command cannot tell them from nothing.
_LONG = 10.0


def svg_bytes(section: Section) -> bytes:
    """A UTF-8 file in the section's unit; y is written downward, with the section's origin."""
    x0, y0, x1, y1 = section.bounds()
    margin = _MARGIN * max(x1 - x0, y1 - y0)
    width, height = x1 - x0 + 2 * margin, y1 - y0 + 2 * margin
    factor, paper = _PAPER.get(section.unit, (1, ""))
    unit = f" data-length-unit={quoteattr(section.unit)}" if section.unit else ""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width * factor)}{paper}" '
        f'height="{_n(height * factor)}{paper}" '
        f'viewBox="{_n(x0 - margin)} {_n(-y1 - margin)} {_n(width)} {_n(height)}"{unit}>',
    ]
    pen = 'stroke="#333333" stroke-width="1" vector-effect="non-scaling-stroke"'
    for k, (name, region) in enumerate(named_regions(section)):
        runs = [_run(c.points, c.bulges, closed=True) for c in region.contours]
        style = f'fill="{_FILLS[k % len(_FILLS)]}" fill-rule="evenodd" {pen}'
        lines.append(_group(name, runs, style))
    for slit in section.slits:
        runs = [_run(slit.points, slit.bulges, closed=False)]
        lines.append(_group(slit_layer(slit.name), runs, f'fill="none" {pen}'))
    return "\n".join([*lines, "</svg>", ""]).encode("utf-8")


def _group(name: str, runs: list[tuple[str, str]], style: str) -> str:
    layer = f" data-layer={quoteattr(name)}" if name else ""
    path = " ".join(data for data, _ in runs)
    kept = (
        f' data-bulges="{";".join(bulges for _, bulges in runs)}"'
        if any(b for _, b in runs)
        else ""
    )
    return f'<g{layer}><path d="{path}"{kept} {style}/></g>'


def _run(points: ArrayLike, bulges: ArrayLike, closed: bool) -> tuple[str, str]:
    """Path data of one run, and its bulges ("" when all are zero), y turned down."""
    p, b = np.asarray(points, dtype=float) * [1.0, -1.0], -np.asarray(bulges, dtype=float)
    ends = np.roll(p, -1, axis=0) if closed else p[1:]
    words = [f"M{_n(p[0, 0])} {_n(p[0, 1])}"]
    kept: list[float] = []
    for start, end, bulge in _halved(p, ends, b):
        kept.append(bulge)
        if bulge:
            radius = float(np.hypot(*(end - start))) * (1 + bulge * bulge) / (4 * abs(bulge))
            words.append(f"A{_n(radius)} {_n(radius)} 0 {int(abs(bulge) > 1)} {int(bulge > 0)}")
        else:
            words.append("L")
        words[-1] += f" {_n(end[0])} {_n(end[1])}"
    if closed and not kept[-1]:
        words.pop()
    text = " ".join(words) + (" Z" if closed else "")
    return text, " ".join(_n(k) for k in kept) if any(kept) else ""


def _halved(
    start: np.ndarray, end: np.ndarray, bulge: np.ndarray
) -> Iterator[tuple[np.ndarray, np.ndarray, float]]:
    """The edges, arcs that nearly close cut at their middle."""
    for p, q, b in zip(start, end, bulge.tolist(), strict=False):
        if abs(b) <= _LONG:
            yield p, q, b
            continue
        # The middle of an arc lies b c / 2 to the right of its chord (c its length).
        d = q - p
        middle = (p + q) / 2 + b / 2 * np.array([d[1], -d[0]])
        half = float(np.tan(np.arctan(b) / 2))
        yield p, middle, half
        yield middle, q, half


def _n(value: float) -> str:
    """The shortest text that reads back as the same number."""
    text = repr(float(value) + 0.0)
    return text.removesuffix(".0")
