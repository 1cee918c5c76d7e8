"""Scalar stresses from the normal stress sigma_z and the shear (tau_zx, tau_zy) of a beam
section."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ..mesh.section_mesh import Array


@dataclass(frozen=True, slots=True)
class Component:
    """A scalar that can be drawn, exported and searched.

    Attributes
    ----------
    key : str
        Name on the command line and in files.
    symbol, words : str
        For tables and figures.
    sides : tuple of int
        +1 to look for the largest value, -1 for the smallest.
    sheared : bool
        True where the value is unbounded at corners that make the shear unbounded.
    of : function
        Values from sigma (...) and tau (..., 2).
    """

    key: str
    symbol: str
    words: str
    sides: tuple[int, ...]
    sheared: bool
    of: Callable[[Array, Array], Array]


def _shear(sigma: Array, tau: Array) -> Array:
    return np.hypot(tau[..., 0], tau[..., 1])


def _mises(sigma: Array, tau: Array) -> Array:
    return np.sqrt(sigma**2 + 3 * (tau[..., 0] ** 2 + tau[..., 1] ** 2))


def _largest(sigma: Array, tau: Array) -> Array:
    return sigma / 2 + np.sqrt(sigma**2 / 4 + tau[..., 0] ** 2 + tau[..., 1] ** 2)


def _smallest(sigma: Array, tau: Array) -> Array:
    return sigma / 2 - np.sqrt(sigma**2 / 4 + tau[..., 0] ** 2 + tau[..., 1] ** 2)


COMPONENTS = {
    c.key: c
    for c in (
        Component("normal", "σ_z", "normal stress", (1, -1), False, lambda sigma, tau: sigma),
        Component("shear", "τ", "shear stress", (1,), True, _shear),
        Component("shear-x", "τ_zx", "shear stress along x", (1, -1), True, lambda s, t: t[..., 0]),
        Component("shear-y", "τ_zy", "shear stress along y", (1, -1), True, lambda s, t: t[..., 1]),
        Component("principal-max", "σ_1", "largest principal stress", (1,), True, _largest),
        Component("principal-min", "σ_2", "smallest principal stress", (-1,), True, _smallest),
        Component("von Mises", "σ_v", "von Mises stress", (1,), True, _mises),
    )
}


def component_of(word: str) -> Component:
    """The component of a name.

    Raises
    ------
    InputError
        With the names that there are.

    Examples
    --------
    >>> component_of("von Mises").symbol
    'σ_v'
    """
    if word not in COMPONENTS:
        raise InputError(f"there is no stress {word[:60]!r}; known are {', '.join(COMPONENTS)}")
    return COMPONENTS[word]
