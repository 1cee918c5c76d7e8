"""Which contacts are shut, and their forces, from the member pressed by springs.

With every contact pressed by a spring k the member is A = K + H k H^T, factorised once. A contact's
force r and its motion d then follow from s = r + k d: the pressed member answers d = d_0 + G s, so
that which contacts are open costs a dense system of their number and no factorisation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..beam.contact import ABOVE, BELOW, OPEN, Contact

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Press:
    """The contacts' flexibility.

    Attributes
    ----------
    contacts : tuple of Contact
    flexible : (m, m)
        G: motion of each by a unit force of each on the pressed member.
    springs : (m,)
        k.
    """

    contacts: tuple[Contact, ...]
    flexible: Array
    springs: Array

    def answer(
        self, bare: Array, state: Sequence[int], shift: Array | None = None
    ) -> tuple[Array, Array, Array]:
        """s, motions d and forces r, each (m, c), of contacts in given states.

        Parameters
        ----------
        bare : (m, c)
            d_0, motions of the pressed member under the loads.
        state : (m,) of OPEN, BELOW, ABOVE or BOTH
        shift : (m,), optional
            Motion at which each carries nothing.
        """
        m = len(self.contacts)
        shut = np.array([s != OPEN for s in state], float)
        soft = np.array([c.softness for c in self.contacts])
        stop = np.zeros(m)
        for k, (contact, now) in enumerate(zip(self.contacts, state, strict=True)):
            stop[k] = {BELOW: -contact.below, ABOVE: contact.above}.get(now, 0.0)
            if shift is not None:
                stop[k] += shift[k]
        # shut: d + soft (s - k d) = stop; open: s - k d = 0.
        on_s = np.where(shut > 0, soft, 1.0)
        on_d = np.where(shut > 0, 1 - soft * self.springs, -self.springs)
        matrix = np.diag(on_s) + on_d[:, None] * self.flexible
        right = stop[:, None] * shut[:, None] - on_d[:, None] * bare
        size = np.abs(matrix).max(axis=1, keepdims=True)
        try:
            s = np.linalg.solve(matrix / size, right / size)
            s = s + np.linalg.solve(matrix / size, (right - matrix @ s) / size)
        except np.linalg.LinAlgError as reason:
            raise SolveError("the contacts leave the member loose") from reason
        d = bare + self.flexible @ s
        r = np.where(shut[:, None] > 0, s - self.springs[:, None] * d, 0.0)
        return s, d, r
