"""Where elements end: close to loads, supports and steps as short as what dies out there, longer
with the distance.

A mode exp(-lambda d) is alive at the distance d from where it was raised while Re(lambda) d is
small; elements there must be short against 1 / |lambda|. Far from every disturbance only slow modes
and polynomials are left, and elements are long: their number does not grow with the length.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .decay import decay_rates
from .energy import Energy, Piece

Array = NDArray[np.float64]

#: |lambda| times element length: order 8 then follows exp(-lambda z) to 1e-2, and orders are raised
#: until the answer stands.
STEP = 8.0

#: A mode is forgotten where exp(-Re(lambda) d) is below e^-DEAD, 1e-4.
DEAD = 9.0

#: Elements of one interval at most, whatever the rates say.
MOST = 400


def graded(pieces: Sequence[Piece], breaks: Sequence[float], step: float = STEP) -> Array:
    """Nodes along the member: all breaks and ends of pieces, and what lies between.

    Parameters
    ----------
    pieces : sequence of Piece
        In order along the member.
    breaks : positions
        Loads, supports, diaphragms.
    step : float
        |lambda| times element length.
    """
    start, end = pieces[0].start, pieces[-1].end
    least = 1e-9 * (end - start)
    at = np.unique(np.clip([*breaks, *(p.start for p in pieces), end], start, end))
    at = at[np.append(True, np.diff(at) > least)]
    at[-1] = end
    rates: dict[object, NDArray[np.complex128]] = {}
    nodes = [start]
    for a, b in pairwise(at):
        piece = next(p for p in pieces if p.end > (a + b) / 2)
        first, last = (_rates_at(piece, float(z), rates) for z in (a, b))
        half = _half(first, (b - a) / 2, step)
        other = half if piece.along is None else _half(last, (b - a) / 2, step)
        if len(half) or len(other):  # else one element does for the whole, seen from both ends
            half = half if len(half) else np.array([(b - a) / 2])
            nodes += [*(a + half).tolist(), *(b - other[::-1][1:]).tolist()]
        nodes.append(float(b))
    return np.asarray(nodes)


def _rates_at(
    piece: Piece, z: float, known: dict[object, NDArray[np.complex128]]
) -> tuple[Array, Array]:
    """|Re lambda| ascending, and the greatest |lambda| up to each; in a taper those of the station
    and of its middle."""
    keys: list[object] = [id(piece.energy)]
    if keys[0] not in known:
        known[keys[0]] = decay_rates(piece.energy)
    if piece.along is not None:
        keys.append((id(piece.energy), z))
        if keys[1] not in known:
            own = piece.along(np.array([z]))
            known[keys[1]] = decay_rates(Energy(own.C[0], own.L[0], own.M[0]))
    rates = np.concatenate([known[key] for key in keys])
    rates = rates[rates.real >= 0]
    rates = rates[np.argsort(np.abs(rates.real), kind="stable")]
    return np.abs(rates.real), np.maximum.accumulate(np.abs(rates))


def _half(rates: tuple[Array, Array], length: float, step: float) -> Array:
    """Distances of nodes from one end of an interval up to its middle, the middle included; none
    where one element does for the whole."""
    real, size = rates
    if size[-1] * 2 * length <= step:
        return np.zeros(0)
    found: list[float] = []
    d = 0.0
    while len(found) < MOST:
        # Near the end every mode is alive; the first element looks half its own length ahead.
        alive = int(np.searchsorted(real, DEAD / max(d, 1e-300)))
        fastest = size[min(alive, len(size)) - 1] if alive else 0.0
        h = step / fastest if fastest > 0 else np.inf
        if d + 1.5 * h >= length:
            break
        d += h
        found.append(d)
    return np.asarray([*found, length])
