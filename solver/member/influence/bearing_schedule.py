"""The bearing schedule: what each bearing carries and how it moves, each extreme with what belongs
to it, as makers of bearings ask for it (common practice; EN 1337-1 annex B from memory)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.support import Support

if TYPE_CHECKING:
    from .envelope import Envelope, EnvelopeExtreme

#: Quantities of a row, in order: their words; kind and component of the result.
COLUMNS = (
    ("vertical", "bearing", "R_y"),
    ("across", "reaction", "R_x"),
    ("along", "reaction", "R_z"),
    ("movement across", "displacement", "u_x"),
    ("movement along", "displacement", "u_z"),
    ("rotation along", "rotation", "theta_x"),
    ("rotation across", "twist", "twist"),
    ("rotation in plan", "rotation", "theta_y"),
)
#: Values below this share of the largest force, movement or rotation of the member are none.
NOTHING = 1e-6
#: The freedom whose hold leaves no movement.
_HOLDS = {"u_x": "x", "u_z": "z"}
#: The quantity of each column, for its size.
KIND = ("force",) * 3 + ("displacement",) * 2 + ("angle",) * 3


@dataclass(frozen=True, slots=True, eq=False)
class ScheduleRow:
    """An extreme of one quantity of one bearing.

    Attributes
    ----------
    support : Support
    bearing : int
        From 1; 0 for a support without bearings.
    state : str
        "ultimate", "serviceability" or "all".
    quantity : int
        Number in `COLUMNS`.
    extreme : EnvelopeExtreme
    values : tuple of float or None
        All columns at the same time, 0 for what is rounding; None where the support does not hold
        that.
    """

    support: Support
    bearing: int
    state: str
    quantity: int
    extreme: EnvelopeExtreme
    values: tuple[float | None, ...]


def bearing_schedule(envelope: Envelope) -> tuple[ScheduleRow, ...]:
    """Maximum and minimum of every quantity of every bearing."""
    rows: list[ScheduleRow] = []
    sizes = envelope.sizes
    least = [NOTHING * sizes.get(kind, 0.0) for kind in KIND]

    def values(results: Sequence[int | None], extreme: EnvelopeExtreme) -> list[float | None]:
        every = [None if r is None else float(extreme.together[r]) for r in results]
        return [
            0.0 if v is not None and abs(v) <= small else v
            for v, small in zip(every, least, strict=True)
        ]

    for state, among in states_of(envelope):
        for support in envelope.influence.member.supports:
            for bearing in range(1, len(support.bearings) + 1) or (0,):
                results = _results(envelope, support, bearing)
                if results[0] is None:
                    continue
                for k, c in enumerate(results):
                    if c is None:
                        continue
                    both = [envelope.governing(c, maximum, among) for maximum in (True, False)]
                    if max(abs(e.value) for e in both) <= least[k]:
                        continue
                    rows += [
                        ScheduleRow(support, bearing, state, k, e, tuple(values(results, e)))
                        for e in both
                    ]
    return tuple(rows)


def states_of(envelope: Envelope) -> list[tuple[str, list[int]]]:
    """Combinations by state, where a standard's set tells strength from service."""
    every = list(range(len(envelope.combinations)))
    strong = [
        k
        for k, one in enumerate(envelope.combinations)
        if one.source and one.name.startswith("strength")
    ]
    other = [k for k, one in enumerate(envelope.combinations) if one.source and k not in strong]
    if strong and other:
        return [("ultimate", strong), ("serviceability", other)]
    return [("all", every)]


def _results(envelope: Envelope, support: Support, bearing: int) -> list[int | None]:
    """Number of the result of each column; none where the support does not hold that, or holds
    that movement."""
    found: list[int | None] = []
    for _, kind, word in COLUMNS:
        if _HOLDS.get(word) and getattr(support, _HOLDS[word]) == "held":
            found.append(None)  # what walls give way beside it is no movement of the bearing
            continue
        if kind == "bearing" and not bearing:
            kind = "reaction"
        found.append(
            next(
                (
                    c
                    for c, one in enumerate(envelope.influence.asked)
                    if (one.kind, one.component, one.owner) == (kind, word, support.title)
                    and (kind != "bearing" or one.number == bearing)
                ),
                None,
            )
        )
    return found
