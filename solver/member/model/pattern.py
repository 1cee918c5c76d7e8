"""Line loads split by span and by half-width, so that live load may act on any of the parts, and
combinations of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from ....geometry.errors import InputError
from .load import Combination, LineLoad, Vector
from .moving import shifted

#: What a case is called after its part.
_PART = re.compile(r"(, span \d+)?(, (?:left|right) half)?$")


def base_case(case: str) -> str:
    """The case that a part belongs to.

    >>> base_case("crowd, span 2, left half"), base_case("crowd")
    ('crowd', 'crowd')
    """
    return case[: _PART.search(case).start()]  # type: ignore[union-attr]


def by_half(load: LineLoad, width: float) -> tuple[LineLoad, LineLoad]:
    """The load on the left half of its width and on the right one (that of larger x), each half of
    it at the middle of its half, in cases of their own: "<case>, left half", ..."""

    def half(vector: Vector | None) -> Vector | None:
        return None if vector is None else (vector[0] / 2, vector[1] / 2, vector[2] / 2)

    def on(side: str, dx: float) -> LineLoad:
        return replace(
            load,
            force=half(load.force) or load.force,
            force_end=half(load.force_end),
            torque=load.torque / 2,
            torque_end=None if load.torque_end is None else load.torque_end / 2,
            place=shifted(load.place, dx),
            case=f"{load.case}, {side} half",
            name=f"{load.title}, {side} half",
        )

    return on("left", -width / 4), on("right", width / 4)


def by_span(load: LineLoad, spans: Iterable[tuple[float, float]]) -> tuple[LineLoad, ...]:
    """The load cut at the spans' ends, each part in a case of its own: "<case>, span 1", ..."""
    force_end = load.force if load.force_end is None else load.force_end
    torque_end = load.torque if load.torque_end is None else load.torque_end

    def share(z: float) -> float:
        return (z - load.start) / (load.end - load.start)

    def between(a: float, b: float, s: float) -> float:
        return (1 - s) * a + s * b

    def vector(s: float) -> Vector:
        x, y, z = (between(p, q, s) for p, q in zip(load.force, force_end, strict=True))
        return (x, y, z)

    parts = []
    for n, (start, end) in enumerate(spans, 1):
        a, b = max(start, load.start), min(end, load.end)
        if not b > a:
            continue
        first, last = (vector(share(z)) for z in (a, b))
        parts.append(
            replace(
                load,
                start=a,
                end=b,
                force=first,
                force_end=last,
                torque=between(load.torque, torque_end, share(a)),
                torque_end=between(load.torque, torque_end, share(b)),
                case=f"{load.case}, span {n}",
                name=f"{load.title}, span {n}",
            )
        )
    return tuple(parts)


def span_patterns(
    cases: Iterable[str],
    factor: float,
    always: Mapping[str, float] | None = None,
    name: str = "live",
) -> tuple[Combination, ...]:
    """Combinations of span cases: all, odd, even, and each pair of neighbours.

    These are the customary arrangements for the largest span moments and support moments of a
    continuous member; `always` holds further cases with their factors.
    """
    spans = list(cases)
    if not spans:
        raise InputError("span patterns need the names of span cases; see by_span")
    base = dict(always or {})
    chosen = {f"{name} on all spans": spans}
    if len(spans) > 1:
        chosen[f"{name} on odd spans"] = spans[::2]
        chosen[f"{name} on even spans"] = spans[1::2]
    if len(spans) > 2:
        for n in range(len(spans) - 1):
            chosen[f"{name} on spans {n + 1} and {n + 2}"] = spans[n : n + 2]
    return tuple(
        Combination(title, base | dict.fromkeys(on, factor)) for title, on in chosen.items()
    )
