"""Shear lag along a member: how much of each level flange works, from the stress itself, beside the
code's formula.

A flange is taken whole, from tip to tip: what torsion and bending sideways put on it turns the
stress across it, and the mean over its webs is free of that. Stations are the middle of each span
and the inner supports, a section's size off them, where what is local has died out; the code's
share is that of the same place.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SoapfilmError
from ....geometry.outline.polygons import region_polygons
from ....geometry.section import Section
from ..deforming.effective_width import (
    EffectiveWidth,
    code_lengths,
    code_ratio,
    code_ratio_at_end,
    effective_width,
)
from ..deforming.solution import DeformingSolution
from ..model.member import SAME_STATION, Member
from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]

#: Moments below this share of the largest tell nothing of flanges, and web stresses below this
#: share of the flange's largest are no measure.
_COUNTS = 0.2
#: Chords keep this close to arcs, and points this far inside the material, over the section's size.
_CHORDS, _INSIDE = 1e-4, 1e-6
#: A flange is wider than its thickness so many times, and a web no thicker than this share of it.
_SLENDER, _WEB = 4.0, 0.25
#: Distances from a web, over the section's width, at which its flange is measured.
_BESIDE = (0.03, 0.1, 0.2)


@dataclass(frozen=True, slots=True)
class Flange:
    """A level plate: its middle line at y from `start` to `end`, and the webs that meet it."""

    side: str
    y: float
    start: float
    end: float
    webs: tuple[float, ...]

    @property
    def strips(self) -> list[tuple[float, float]]:
        """From each web to the tip, or half-way to the next web."""
        ends = [(a + b) / 2 for a, b in zip(self.webs[:-1], self.webs[1:], strict=True)]
        bounds = [self.start, *ends, self.end]
        found = []
        for k, web in enumerate(self.webs):
            found += [(web, bounds[k]), (web, bounds[k + 1])]
        least = 0.02 * (self.end - self.start)
        return [(web, end) for web, end in found if abs(end - web) > least]


@dataclass(frozen=True, slots=True)
class ShearLag:
    """One flange at one station, under the combination that bends the member most there.

    Attributes
    ----------
    flange : Flange
    station : float
    hogging : bool
        Beside an inner support.
    combination : str
    ratio : float
        Effective over full width.
    code : float
        By EN 1993-1-5, 3.2, from memory, without stiffeners, at the station.
    code_at_support : float or None
        The same at the inner support itself; in the middle of a span that ends at an end support,
        there.
    """

    flange: Flange
    station: float
    hogging: bool
    combination: str
    ratio: float
    code: float
    code_at_support: float | None = None


def shear_lag(
    solution: DeformingSolution, sections: Mapping[str, SolvedSection]
) -> tuple[ShearLag, ...]:
    """Every level flange at the middle of the spans and beside inner supports."""
    member = solution.member
    asked = [place for place in _stations(solution, sections) if _even(member, place, sections)]
    if not asked:
        return ()
    largest = _moment(solution, np.linspace(0.0, member.length, 81)).max()
    own: dict[str, list[tuple[_Place, int]]] = {}
    for place in asked:
        station = place.station
        name = member.section_at(station).name
        moment = _moment(solution, np.array([station]))[0]
        column = int(moment.argmax())
        if moment[column] > _COUNTS * largest:
            own.setdefault(name, []).append((place, column))
    found: list[ShearLag] = []
    for name, places in own.items():
        result = sections[name].result
        assert result is not None  # such sections were left out
        for flange in flanges_of(result.section):
            ratios = _ratios(solution, flange, places)
            for (place, column), ratio in zip(places, ratios, strict=True):
                if ratio is None:
                    continue
                code, at_support = _codes(flange, place)
                combination, hogging = solution.names[column], place.hogging is not None
                found.append(
                    ShearLag(flange, place.station, hogging, combination, ratio, code, at_support)
                )
    # Along the member, at each station the top first.
    order = {place.station: k for k, place in enumerate(_stations(solution, sections))}
    return tuple(sorted(found, key=lambda one: order[one.station]))


def _even(member: Member, place: _Place, sections: Mapping[str, SolvedSection]) -> bool:
    """Whether the section at a place has an outline, and no taper changes it."""
    solved = sections.get(member.section_at(place.station).name)
    tapers = member.segment_at(place.station).section_end is not None
    return solved is not None and solved.result is not None and not tapers


def flanges_of(section: Section) -> list[Flange]:
    """The level plates at the top and bottom of a section, and their webs; none where the outline
    has no slender webs or no level plates."""
    import shapely

    whole = shapely.union_all(region_polygons(section, _CHORDS * section.size()))
    x0, y0, x1, y1 = whole.bounds
    width = x1 - x0
    webs = _cut(whole, [(x0 - width, (y0 + y1) / 2), (x1 + width, (y0 + y1) / 2)], 0)
    if not webs or any(b - a > _WEB * width for a, b in webs):
        return []
    found = []
    for side in ("top", "bottom"):
        thickness, y = _plate(whole, webs, side)
        if thickness is None:
            continue
        level = _cut(whole, [(x0 - width, y), (x1 + width, y)], 0)
        for a, b in level:
            own = tuple((p + q) / 2 for p, q in webs if a <= (p + q) / 2 <= b)
            inside = _INSIDE * width
            if own and b - a > _SLENDER * thickness:
                found.append(Flange(side, y, a + inside, b - inside, own))
    return found


def _plate(whole: object, webs: list[tuple[float, float]], side: str) -> tuple[float | None, float]:
    """Thickness and level of the outermost plate beside the first web: the thinnest of some cuts,
    for fillets thicken it near the web."""
    x0, y0, x1, y1 = whole.bounds  # type: ignore[attr-defined]
    a, b = webs[0]
    found: list[tuple[float, float]] = []
    for share in _BESIDE:
        off = share * (x1 - x0)
        for x in (b + off, a - off):
            cut = _cut(whole, [(x, y0 - 1), (x, y1 + 1)], 1)
            if not cut:
                continue
            low, high = cut[-1] if side == "top" else cut[0]
            outer = abs((high - y1) if side == "top" else (low - y0))
            if high - low < 0.3 * (y1 - y0) and outer < 0.05 * (y1 - y0):
                found.append((high - low, (low + high) / 2))
    return min(found, default=(None, 0.0))


def _cut(whole: object, line: list[tuple[float, float]], axis: int) -> list[tuple[float, float]]:
    """Ends of the material along a level or upright line, in order."""
    import shapely

    pieces = shapely.intersection(whole, shapely.LineString(line))
    ends = [
        sorted(point[axis] for point in (p.coords[0], p.coords[-1]))
        for p in getattr(pieces, "geoms", [pieces])
        if p.length > 0
    ]
    return sorted((float(a), float(b)) for a, b in ends)


@dataclass(frozen=True, slots=True)
class _Place:
    """A station; L_e of its span's sagging part (of all of an overhang, which `hangs`) and, beside
    an inner support, of the hogging part there; `share` tells how far from the support it is toward
    the quarter of the span. The middle of a span that `ends` at a support beyond which nothing
    is."""

    station: float
    sagging: float
    hogging: float | None = None
    share: float = 1.0
    hangs: bool = False
    ends: bool = False


def _stations(solution: DeformingSolution, sections: Mapping[str, SolvedSection]) -> list[_Place]:
    member = solution.member
    spans = member.spans
    off = max(s.result.section.size() for s in sections.values() if s.result is not None)
    wrap = member.length if member.axis.closed else np.inf
    lengths = [end - start for start, end in spans]
    free = [not member.axis.closed and not _held_up(member, z) for z in (0.0, member.length)]
    sagging, hogging = code_lengths(lengths, (free[0], free[1]))
    found = []
    for k, (start, _) in enumerate(spans):
        span = lengths[k]
        hangs = (k == 0 and free[0]) or (k == len(spans) - 1 and free[1])
        ends = not (member.axis.closed or hangs) and k in (0, len(spans) - 1)
        found.append(_Place(float((start + span / 2) % wrap), sagging[k], hangs=hangs, ends=ends))
        if k > 0 and not hangs and off < span / 2:
            share = min(1.0, 4 * off / span)
            station = float((start + off) % wrap)
            found.append(_Place(station, sagging[k], hogging[k - 1], share))
    return found


def _held_up(member: Member, z: float) -> bool:
    least = SAME_STATION * member.length
    return any(
        abs(s.at - z) <= least and (s.bearings or s.y not in ("free", 0)) for s in member.supports
    )


def _moment(solution: DeformingSolution, z: Array) -> Array:
    return np.abs(solution.resultants(z).M_x)


def _ratios(
    solution: DeformingSolution, flange: Flange, places: list[tuple[_Place, int]]
) -> list[float | None]:
    """Force of the flange over its mean web stress times its width, at each place under its
    combination; None where that is no measure or the middle line leaves the material."""
    z = np.array([place.station for place, _ in places])
    try:
        strips = [
            (web, effective_width(solution, (web, flange.y), (end, flange.y), z))
            for web, end in flange.strips
        ]
    except SoapfilmError:
        return [None] * len(places)
    if not strips:
        return [None] * len(places)
    return [_ratio(strips, k, column) for k, (_, column) in enumerate(places)]


def _ratio(strips: list[tuple[float, EffectiveWidth]], k: int, column: int) -> float | None:
    """The same at place k, under one combination."""
    force, width, largest = 0.0, 0.0, 0.0
    at_webs: dict[float, float] = {}
    for web, own in strips:
        stress = float(own.at_web[k, column])
        at_webs[web] = stress
        largest = max(largest, abs(stress), abs(float(own.at_end[k, column])))
        force += float(own.effective[k, column]) * stress
        width += own.width
    mean = sum(at_webs.values()) / len(at_webs)
    if not abs(mean) > _COUNTS * largest or not np.isfinite(force):
        return None
    return force / (mean * width)


def _codes(flange: Flange, place: _Place) -> tuple[float, float | None]:
    """The code's share at a place, in proportion between support and quarter of the span, and at
    the support: the inner one that it is beside, or an end of its span."""
    widths = [abs(end - web) for web, end in flange.strips]

    def mean(ratio: Callable[[float, float], float], length: float) -> float:
        return sum(w * ratio(w, length) for w in widths) / sum(widths)

    over = partial(code_ratio, hogging=True)
    sagging = mean(over if place.hangs else code_ratio, place.sagging)
    if place.hogging is None:
        return sagging, mean(code_ratio_at_end, place.sagging) if place.ends else None
    at_support = mean(over, place.hogging)
    return at_support + place.share * (sagging - at_support), at_support
