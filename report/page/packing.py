"""Arrays as compact text in a page: base64 of little-endian numbers that a browser reads at once.

Coordinates are 32-bit floats. Fields are 16-bit whole numbers times a scale: an error of 1.5e-5 of
the field's greatest size, far below what a screen shows, at half the length.
"""

from __future__ import annotations

from base64 import b64encode
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

#: Largest size of a 16-bit field's numbers.
FULL = 32767


def floats(values: ArrayLike) -> dict[str, Any]:
    """32-bit floats, flattened.

    >>> floats([1.0, 2.0])
    {'kind': 'float32', 'data': 'AACAPwAAAEA='}
    """
    return _packed("float32", np.asarray(values, dtype="<f4"))


def indices(values: ArrayLike) -> dict[str, Any]:
    """Whole numbers from 0, in 16 bits where they fit and 32 where not."""
    array = np.asarray(values)
    small = not array.size or int(array.max()) < 2**16
    kind, dtype = ("uint16", "<u2") if small else ("uint32", "<u4")
    return _packed(kind, array.astype(dtype))


def field(values: ArrayLike) -> dict[str, Any]:
    """A field in 16 bits: what is stored times `scale` is the value.

    >>> field([0.0, -2.0])["scale"] * 32767
    2.0
    """
    array = np.asarray(values, dtype=float)
    top = float(np.abs(array).max(initial=0.0))
    scale = top / FULL if top > 0 else 1.0
    return _packed("int16", np.round(array / scale).astype("<i2")) | {"scale": scale}


def shared_scale(*arrays: ArrayLike) -> list[dict[str, Any]]:
    """Fields under one scale, such as both components of a vector."""
    stacked = np.stack([np.asarray(a, dtype=float) for a in arrays])
    top = float(np.abs(stacked).max(initial=0.0))
    scale = top / FULL if top > 0 else 1.0
    whole = np.round(stacked / scale).astype("<i2")
    return [_packed("int16", row) | {"scale": scale} for row in whole]


def _packed(kind: str, array: np.ndarray[Any, Any]) -> dict[str, Any]:
    return {"kind": kind, "data": b64encode(array.tobytes()).decode("ascii")}
