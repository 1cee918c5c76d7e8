"""The differential equations of one element, as matrices.

Straight or circular, with s along the axis and kappa = 1 / radius (see `axis` for signs):

    u' = gamma_x + theta_y - kappa w      V_x' = -kappa N - q_x
    v' = gamma_y - theta_x                V_y' = -q_y
    w' = epsilon + kappa u                N'   =  kappa V_x - q_z
    theta_x' = chi_x - kappa phi          M_x' =  V_y - kappa T - m_x
    theta_y' = chi_y                      M_y' = -V_x - m_y
    phi' = tau + kappa theta_x            T'   =  kappa M_x - m_z

The left column is the virtual-work dual of the right one (derived from F' + q = 0 and M' + e_z x F
+ m = 0 in the turning frame). They contain the field equations of a curved bar, M = E I (phi / R -
w'') and T = G J (phi' + w' / R) in the usual letters, and deck springs add to the forces. The
stiffness law is in `stiffness`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .stiffness import Stiffness

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Blocks:
    """First-order system of n elements: d' = A_dd d + A_df f + offset tau, f' = A_ff f + K d - q, d
    and f (6,); `growth` is A_dd' where the curvature grows along an element, and A_dd that of its
    start."""

    motion: Array
    strain: Array
    balance: Array
    foundation: Array
    growth: Array

    def take(self, index: Index | NDArray[np.bool_]) -> Blocks:
        """The rows named by `index`."""
        return Blocks(*(getattr(self, name)[index] for name in Blocks.__slots__))


def blocks(
    stiffness: Stiffness, curvature: Array, foundation: Array, rate: Array | None = None
) -> Blocks:
    """The 6 by 6 blocks of each element; (n,) curvature and its growth per length, (n, 3) deck
    springs."""
    n = len(curvature)
    motion = _turning(curvature)
    motion[:, 0, 4] = 1.0
    motion[:, 1, 3] = -1.0
    growth = _turning(np.zeros(n) if rate is None else rate)
    spring = np.zeros((n, 6, 6))
    spring[:, 0, 0], spring[:, 5, 5] = foundation[:, 0], foundation[:, 2]
    spring[:, 0, 5] = spring[:, 5, 0] = foundation[:, 1]
    return Blocks(motion, stiffness.compliance, -np.swapaxes(motion, 1, 2), spring, growth)


def _turning(curvature: Array) -> Array:
    """(n, 6, 6) part of A_dd that turns with the frame."""
    motion = np.zeros((len(curvature), 6, 6))
    motion[:, 0, 2] = motion[:, 3, 5] = -curvature
    motion[:, 2, 0] = motion[:, 5, 3] = curvature
    return motion


def full_matrix(stiffness: Stiffness, b: Blocks) -> Array:
    """(n, 14, 14) matrix of Y' = A Y for sections that warp, Y ordered as in `stiffness`."""
    a = np.zeros((len(b.motion), 14, 14))
    a[:, :6, :6], a[:, :6, 7:13] = b.motion, b.strain
    a[:, :6, 6] = stiffness.offset
    a[:, 6, 13] = -1 / stiffness.warping
    a[:, 7:13, :6], a[:, 7:13, 7:13] = b.foundation, b.balance
    a[:, 13, 7:13], a[:, 13, 6] = stiffness.lever, -stiffness.torsion
    return a


def plain_matrix(stiffness: Stiffness, b: Blocks) -> Array:
    """(n, 12, 12) matrix for sections that do not warp: tau = T_s / (G J) is no freedom of its
    own."""
    a = np.zeros((len(b.motion), 12, 12))
    twist = np.einsum("ni,nj->nij", stiffness.offset, stiffness.lever / stiffness.torsion[:, None])
    a[:, :6, :6], a[:, :6, 6:] = b.motion, b.strain + twist
    a[:, 6:, :6], a[:, 6:, 6:] = b.foundation, b.balance
    return a


def full_growth(b: Blocks) -> Array:
    """(n, 14, 14) what `full_matrix` gains per length."""
    a = np.zeros((len(b.motion), 14, 14))
    a[:, :6, :6], a[:, 7:13, 7:13] = b.growth, -np.swapaxes(b.growth, 1, 2)
    return a


def plain_growth(b: Blocks) -> Array:
    """(n, 12, 12) what `plain_matrix` gains per length."""
    a = np.zeros((len(b.motion), 12, 12))
    a[:, :6, :6], a[:, 6:, 6:] = b.growth, -np.swapaxes(b.growth, 1, 2)
    return a


# L/a of the whole member above which a section counts as not warping: its layers are then shorter
# than a hundred-thousandth of the member and the bimoment is of the order T a. On a deck elements
# are cut to the length a, which would not end.
THINNEST_LAYER, THINNEST_ON_DECK = 1e5, 1e4


def warping_left_out(
    stiffness: Stiffness, length: float, on_deck: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """(n,) whether an element of a member of the given length counts as not warping."""
    return np.asarray(stiffness.rate * length > np.where(on_deck, THINNEST_ON_DECK, THINNEST_LAYER))


def foundation_rate(stiffness: Stiffness, foundation: Array, length: float) -> Array:
    """Upper estimate (n,) of the rate at which deflection and twist die out on a deck.

    Twist: E C_w l^4 - G J l^2 + k = 0 about the shear centre; across: l^4 - (k/GA) l^2 + k/(E I) =
    0. The sum of the larger roots serves as bound for the coupled problem; it only sets how finely
    an element is cut. `length` is that of the member.
    """
    across, coupling, twist = foundation.T
    level = stiffness.shear_centre[:, 1]
    twist = np.maximum(twist + 2 * coupling * level + across * level**2, 0.0)
    torsion, warping = stiffness.torsion, stiffness.warping
    plain = np.sqrt(twist / torsion)
    with np.errstate(divide="ignore", invalid="ignore"):
        warped = np.sqrt(torsion / warping) + (twist / warping) ** 0.25
    softness = stiffness.compliance
    lateral = np.sqrt(across * softness[:, 0, 0]) + (across * softness[:, 4, 4]) ** 0.25
    left_out = warping_left_out(stiffness, length, np.ones(len(torsion), bool))
    return np.asarray(np.where(left_out, plain, warped) + lateral)
