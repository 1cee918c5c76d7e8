"""Mixed torsion of one span in sixty digits: E C_w phi'''' - G J phi'' = t, solved for its four
constants.

Independent of the package: unscaled cosh and sinh in arbitrary precision need no care for L/a.
"""

from __future__ import annotations

from dataclasses import dataclass

import mpmath as mp

DIGITS = 60


@dataclass(frozen=True)
class Span:
    """G J = 1, length 1, L/a = u; `left` and `right` of "fork", "fixed", "free".

    Torque `point` at `at`, and per length `start` growing linearly to `end`.
    """

    u: float
    left: str
    right: str
    point: float = 0.0
    at: float = 0.5
    start: float = 0.0
    end: float = 0.0

    def solve(self, z: float) -> tuple[float, float, float, float]:
        """phi, tau, B, T at z (just after a point torque)."""
        with mp.workdps(DIGITS + int(self.u)):
            a = 1 / mp.mpf(self.u)
            one, at, z_ = mp.mpf(1), mp.mpf(self.at), mp.mpf(z)

            def basis(s: mp.mpf, order: int) -> list[mp.mpf]:
                """Derivatives of 1, s, cosh(s/a), sinh(s/a)."""
                c, d = mp.cosh(s / a), mp.sinh(s / a)
                if order % 2:
                    c, d = d, c
                poly = [one, s] if order == 0 else [mp.mpf(0), one if order == 1 else mp.mpf(0)]
                return [*poly, c / a**order, d / a**order]

            def particular(s: mp.mpf, order: int) -> mp.mpf:
                """-phi'' + a^2 phi'''' = t0 + t1 s has -t0 s^2/2 - t1 s^3/6; the point torque adds
                the answer to a jump of T at rest before it."""
                t0, t1 = mp.mpf(self.start), mp.mpf(self.end) - mp.mpf(self.start)
                smooth = [
                    -t0 * s**2 / 2 - t1 * s**3 / 6,
                    -t0 * s - t1 * s**2 / 2,
                    -t0 - t1 * s,
                    -t1,
                ][order]
                if self.point and s >= at:
                    x, p = s - at, mp.mpf(self.point)
                    jump = [
                        -x + a * mp.sinh(x / a),
                        -1 + mp.cosh(x / a),
                        mp.sinh(x / a) / a,
                        mp.cosh(x / a) / a**2,
                    ][order]
                    smooth += p * jump
                return smooth

            rows, right = [], []

            def condition(s: mp.mpf, orders: dict[int, mp.mpf]) -> None:
                rows.append(
                    [mp.fsum(w * basis(s, k)[j] for k, w in orders.items()) for j in range(4)]
                )
                right.append(-mp.fsum(w * particular(s, k) for k, w in orders.items()))

            torque = {1: one, 3: -(a**2)}
            for s, kind in ((mp.mpf(0), self.left), (one, self.right)):
                if kind == "free":
                    condition(s, torque)
                    condition(s, {2: one})
                else:
                    condition(s, {0: one})
                    condition(s, {1 if kind == "fixed" else 2: one})
            c = mp.lu_solve(mp.matrix(rows), mp.matrix(right))

            def derivative(order: int) -> mp.mpf:
                values = basis(z_, order)
                return mp.fsum(c[j] * values[j] for j in range(4)) + particular(z_, order)

            phi, tau, second, third = (derivative(k) for k in range(4))
            return float(phi), float(tau), float(-(a**2) * second), float(tau - a**2 * third)
