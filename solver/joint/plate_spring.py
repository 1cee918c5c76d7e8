"""Plates of a joint as springs, in closed form: strips, the wall of a tube, a diaphragm."""

from __future__ import annotations

import math

import numpy as np

#: Terms of the wall's series; the last changes the sum by less than a hundred-thousandth.
_TERMS = 200


def in_plane_bending(modulus: float, thickness: float, height: float, arm: float) -> float:
    """E t h^3 / (12 a): a fin bent in its own plane by a moment, over its arm (derived)."""
    return modulus * thickness * height**3 / (12 * arm)


def twisting(shear_modulus: float, thickness: float, height: float, arm: float) -> float:
    """G J / a with J = h t^3 / 3 (1 - 0.63 t/h): a strip twisted about its length (Saint-Venant).

    The end's restrained warping, which makes short strips stiffer, is left out.
    """
    t, h = sorted((thickness, height))
    return shear_modulus * h * t**3 / 3 * (1 - 0.63 * t / h) / arm


def wall_turning(
    modulus: float, poisson: float, thickness: float, width: float, height: float
) -> float:
    """Moment per angle of a tube's wall loaded by the moment of a plate welded down its middle.

    The wall is an elastic strip of the tube's full width between corners, endless along the tube
    and hinged at the corners. The plate's line of `height` lies across the strip at mid-width and
    pushes on it with 12 M y / h^3 per length; a stiff plate spreads its forces better, and corners
    resist turning, so the wall's true stiffness is larger (both by the theorems of least work).

    Derived: w = sum of w_n (1 + a|z|) exp(-a|z|) sin(n pi s/b), a = n pi/b, w_n = q_n / (4 D a^3).
    """
    rigidity = modulus * thickness**3 / (12 * (1 - poisson**2))
    n = np.arange(1, _TERMS + 1)
    a = n * math.pi / width
    # q_n = 2/b integral of q sin(a s), s = b/2 + y: the part odd in y is cos(n pi/2) sin(a y).
    half = height / 2
    odd = 2 * (np.sin(a * half) / a**2 - half * np.cos(a * half) / a)
    shape = 12 / height**3 * np.cos(n * math.pi / 2) * odd
    turn = np.sum(2 / width * shape**2 / (4 * rigidity * a**3))
    return float(1 / turn)


def diaphragm_shear(shear_modulus: float, thickness: float, width: float, depth: float) -> float:
    """G t b d: moment per angle of shear of a plate that fills a cell (derived)."""
    return shear_modulus * thickness * width * depth
