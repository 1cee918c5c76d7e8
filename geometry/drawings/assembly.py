"""From the strokes of a drawing to a section: curves fitted, ends joined, contours nested, all of
it reported."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches

import numpy as np

from ..errors import FileFormatError, GeometryError, InputError
from ..material import Material
from ..outline.biarc import curve_arcs
from ..place_words import place
from ..section import Section, Slit
from .bounds import MAX_EDGES, MAX_ENTITIES, check_count
from .layers import is_slit, is_void
from .nesting import make_regions
from .stroke import Array, Sheet, Stroke
from .stroke_chain import Gap, close_contours, without_points

#: Defaults, relative to the diagonal of the drawing's box. The gap is what a careless snap leaves;
#: the deviation keeps the geometry's share of an error well below the accuracy asked of the solver.
GAP = 1e-4
DEVIATION = 1e-6
#: Distances that are rounding: programs write six to twelve significant digits.
_ROUNDING = 1e-9
_CLOSEST_FIT = 1e-10
#: A curve that closes has no chord, so that it starts in two stretches.
_HALVES = (0.0, 0.5, 1.0)


def assemble(
    sheet: Sheet,
    gap: float | None = None,
    deviation: float | None = None,
    *,
    layers: Sequence[str] | None = None,
    materials: Mapping[str, Material] | None = None,
) -> Section:
    """The section a drawing shows.

    Parameters
    ----------
    sheet : Sheet
    gap : float, optional
        Open ends at most this far apart are joined, in the drawing's unit; 1e-4 of its diagonal.
    deviation : float, optional
        Largest distance between a curve and the arcs that follow it; 1e-6 of the diagonal.
    layers : sequence of str, optional
        The only layers to read.
    materials : mapping, optional
        Material of each layer.

    Raises
    ------
    InputError
        For unusable tolerances, unknown layers, or a drawing that makes no section.
    """
    strokes = _chosen(sheet.strokes, layers, materials)
    check_count(len(strokes), MAX_ENTITIES, "entities")
    box = np.vstack([s.extent() for s in strokes])
    size = float(np.hypot(*np.ptp(box, axis=0)))
    far = float(np.abs(box).max())
    if not size > 64 * np.finfo(float).eps * far:
        raise GeometryError(
            f"the drawing is a single point, {place(box[0], sheet.unit)}; draw an outline"
        )
    gap = _tolerance("gap", gap, GAP * size, 0.0, 0.1 * size)
    deviation = _tolerance(
        "deviation", deviation, DEVIATION * size, _CLOSEST_FIT * size, 0.1 * size
    )
    tiny = min(max(_ROUNDING * size, 8 * np.finfo(float).eps * far), gap or np.inf)
    strokes, fitted, worst = _fitted(strokes, deviation, sheet.unit)
    slits = [s for s in strokes if is_slit(s.layer)]
    outlines = [s for s in strokes if not is_slit(s.layer)]
    loops, gaps, repeats = close_contours(outlines, gap, tiny, sheet.unit)
    if all(is_void(loop.layer) for loop in loops):
        raise GeometryError(
            "the drawing holds no closed contour of a solid; draw the section's outline"
        )
    regions, nested = make_regions(loops, materials, sheet.unit)
    notes = [*sheet.notes, *_gap_notes(gaps, gap, sheet.unit), *fitted, *nested]
    if repeats:
        notes.append(
            f"left out because drawn twice: {repeats} {'edge' if repeats == 1 else 'edges'}"
        )
    named = sorted({r.name for r in regions})
    if len(named) > 1 and not materials:
        notes.append(
            f"layers {', '.join(map(repr, named))} read as parts of one unspecified material"
        )
    return Section(
        tuple(regions),
        name=sheet.name,
        unit=sheet.unit,
        slits=tuple(slit for s in slits if (slit := _slit(s, tiny)) is not None),
        notes=tuple(f"drawing: {note}" for note in notes),
        deviation=worst,
    )


def _slit(stroke: Stroke, tiny: float) -> Slit | None:
    tidy = without_points(stroke, tiny)
    if tidy is None:
        return None
    points = tuple((float(x), float(y)) for x, y in tidy.points)
    return Slit(points, tuple(float(b) for b in tidy.bulges), stroke.layer)


def _chosen(
    strokes: Sequence[Stroke],
    layers: Sequence[str] | None,
    materials: Mapping[str, Material] | None,
) -> list[Stroke]:
    """Strokes on the asked layers; a layer that is not there is a slip of the pen."""
    there = list(dict.fromkeys(s.layer for s in strokes))
    if layers is not None:  # "0" is what DXF calls the layer of no name
        layers = ["" if name == "0" and "" in there else name for name in layers]
    for asked in [*(layers or ()), *(materials or ())]:
        if asked not in there:
            near = get_close_matches(asked, there, n=1)
            hint = f"; did you mean {near[0]!r}?" if near else ""
            raise InputError(
                f"the drawing has no layer {asked!r} "
                f"(it has {', '.join(repr(name or '0') for name in there[:12]) or 'none'}){hint}"
            )
    chosen = [s for s in strokes if layers is None or s.layer in layers]
    if not chosen:
        raise FileFormatError(
            "the drawing holds no lines, arcs or curves; draw the section's outline"
        )
    return chosen


def _tolerance(what: str, value: float | None, default: float, least: float, most: float) -> float:
    if value is None:
        return default
    if not least <= value <= most:
        raise InputError(
            f"{what} {value:g} is not usable for this drawing; "
            f"choose between {least:.3g} and {most:.3g}"
        )
    return float(value)


def _fitted(
    strokes: Sequence[Stroke], deviation: float, unit: str
) -> tuple[list[Stroke], list[str], float]:
    """The strokes with arcs in place of curves, a note on how well they fit, and the largest
    deviation."""
    out, worst, curves, arcs, edges = [], 0.0, 0, 0, 0
    for stroke in strokes:
        points, bulges = [stroke.points[:1]], []
        for i in range(len(stroke)):
            p: Array = stroke.points[i : i + 2]
            b: Array = stroke.bulges[i : i + 1]
            if i in stroke.curves:
                p, b, off = curve_arcs(stroke.curves[i], _HALVES, deviation)
                p[-1] = stroke.points[i + 1]
                worst, curves, arcs = max(worst, off), curves + 1, arcs + len(b)
            points.append(p[1:])
            bulges.append(b)
            edges += len(b)
            check_count(edges, MAX_EDGES, "edges")
        same = not stroke.curves
        out.append(stroke if same else stroke.replaced(np.vstack(points), np.concatenate(bulges)))
    if not curves:
        return out, [], 0.0
    note = (
        f"{curves} curve {'piece' if curves == 1 else 'pieces'} followed by {arcs} arcs "
        f"within {worst:.3g} {unit} (allowed {deviation:.3g}); intervals of J hold for these arcs, "
        "and what the curves differ from them comes on top: a smaller deviation makes it smaller"
    )
    return out, [note], worst


def _gap_notes(gaps: Sequence[Gap], tolerance: float, unit: str) -> list[str]:
    if not gaps:
        return []
    widest = sorted(gaps, key=lambda g: -g.width)
    shown = ", ".join(f"{g.width:.3g} at {place(g.where, unit)}" for g in widest[:3])
    more = f" and {len(gaps) - 3} smaller" if len(gaps) > 3 else ""
    plural = "gap" if len(gaps) == 1 else "gaps"
    return [f"{len(gaps)} {plural} closed, within {tolerance:.3g} {unit}: {shown}{more}"]
