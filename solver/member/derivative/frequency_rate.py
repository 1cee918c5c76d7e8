"""Derivatives of natural frequencies by their modes.

Of K v = omega^2 M v, the quotient of both energies is stationary at a mode among the movements that
are free. So its derivative is that of the quotient at fixed shape, where the shape keeps to what
holds the member, which may move too: the answer v = K^-1 M v_0 to the inertia of the mode v_0 does,
and has v^T K v = v^T M v_0,

    (omega^2)' = omega^4 (v^T M v_0 - omega^2 v^T M v)',    v_0^T M v_0 = 1.

Modes of one frequency as in `critical_rate`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...section.derivative.difference import derivative, plain_difference
from ..vibration.analysis import BEAM_ORDERS, vibration_of
from ..vibration.attached import carried_by
from ..vibration.beam_member import beam_member, vibrating_mesh
from ..vibration.moving_member import MovingMember
from .critical_rate import FactorRate
from .moved_member import stretch

if TYPE_CHECKING:
    from ..file.request import MemberRequest
    from ..model.member import Member
    from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]

#: Frequencies nearer than this are one, of as many modes; so many are looked at.
EQUAL, MODES = 1e-6, 3


class VibratingMember:
    """A classical member's lowest frequency, ready for derivatives to any number.

    Parameters
    ----------
    request : MemberRequest

    Raises
    ------
    InputError, SolveError
        As `vibration_of` does.
    """

    def __init__(self, request: MemberRequest) -> None:
        member, self._units = request.member, request.units
        found = vibration_of(
            member, request.sections, request.units, keep_shape=True, modes=MODES, judged=False
        )
        self.hertz = found.frequencies
        self._mesh = vibrating_mesh(member, carried_by(member, self._units))
        count = int((np.abs(self.hertz / self.hertz[0] - 1) < EQUAL).sum())
        self._modes = found.field.coefficients[..., :count]

    def stretch(self, member: Member) -> float:
        """The largest relative change of an element's length in a member beside this one."""
        carried = carried_by(member, self._units)
        return stretch(self._mesh, vibrating_mesh(member, carried, self._mesh))

    def rate(
        self, members: Sequence[Member], sections: Sequence[Mapping[str, SolvedSection]],
        step: float,
    ) -> FactorRate:  # fmt: skip
        """The derivative to a number, from members, and their sections by name, with it changed by
        `difference.STEPS` times the step.

        Raises
        ------
        SolveError
            The number makes or unmakes a node.
        """
        square = (2 * np.pi * self.hertz[0]) ** 2
        left = [
            self._left(member, own, square) for member, own in zip(members, sections, strict=True)
        ]
        slopes, plain = (
            # (omega^2)' / (8 pi^2 f)
            np.linalg.eigvalsh(square**2 * taken(left, step) / (8 * np.pi**2 * self.hertz[0]))
            for taken in (derivative, plain_difference)
        )
        count = len(slopes)
        beyond = float(self.hertz[count]) if len(self.hertz) > count else float("inf")
        doubt = float(np.abs(slopes - plain).max())
        return FactorRate(
            float(self.hertz[0]), float(slopes[0]), float(slopes[-1]), count, beyond, doubt
        )

    def _left(self, member: Member, sections: Mapping[str, SolvedSection], square: float) -> Array:
        """(c, c) V^T M V_0 - omega^2 V^T M V of a member beside this one."""
        moving, _, _ = beam_member(
            member, carried_by(member, self._units), sections,
            order=BEAM_ORDERS[0], inertia=self._units.inertia, like=self._mesh,
        )  # fmt: skip
        inner, nodal = moving.heavy(self._modes)
        system = moving.system()
        answer = system.whole(system.solve(nodal, inner), inner).reshape(self._modes.shape)
        own = moving.heavy(answer)
        left = _work(moving, answer, (inner, nodal)) - square * _work(moving, answer, own)
        return (left + left.T) / 2


def _work(moving: MovingMember, modes: Array, forces: tuple[Array, Array]) -> Array:
    """(c, c) of forces on the elements and at the nodes on modes (e, p + 1, n, c)."""
    inner, nodal = forces
    flat = modes.reshape(*inner.shape[:2], -1)
    found = np.einsum("eac,ead->cd", flat, inner)
    return np.asarray(found + np.einsum("kac,kad->cd", moving.at_nodes(modes), nodal))
