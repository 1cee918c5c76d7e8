"""Mixed torsion of one span by the length L/a: fork and warping-fixed ends, cantilever, propped."""

from __future__ import annotations

from collections.abc import Callable

from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork, warping_held

from .figure import figures
from .registry import Found, Topic

TABLE = Topic(
    "Mixed torsion of a span",
    "Closed forms, printed to eight digits; a = sqrt(E C_w/(G J)). Elements are exact.",
)
PRINTED = 1e-6

MIDSPAN = PointLoad(0.5, moment=(0, 0, 1.0))
TIP = PointLoad(1.0, moment=(0, 0, 1.0))
UNIFORM = LineLoad(0, 1, torque=1.0)
LINEAR = LineLoad(0, 1, torque=0.0, torque_end=1.0)
HELD = (warping_held(0), warping_held(1))
FORKS = (fork(0), fork(1))
PROPPED = (warping_held(0), fork(1))


def torque_span(u: float, supports: tuple[Support, ...], load: PointLoad | LineLoad) -> Solution:
    """A span of length 1 with G J = 1 and L/a = u."""
    section = SectionConstants(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, u**-2)
    return solve(Member.prismatic(Axis.straight(1.0), section, list(supports), loads=(load,)))


def twist(supports: tuple[Support, ...], load: PointLoad | LineLoad, z: float = 0.5):
    """phi at a station."""
    return lambda u: torque_span(u, supports, load).at(z).phi[0, 0]


#: What each figure's name stands for, as a function of L/a.
QUANTITIES: dict[str, Callable[[float], float]] = {
    "fork_mid_phi": twist(FORKS, MIDSPAN),
    "fork_mid_d1": lambda u: torque_span(u, FORKS, MIDSPAN).at(0.0).tau[0, 0],
    # phi'' G J a/T = -B/(T a) with B = -E C_w phi''
    "fork_mid_d2": lambda u: -torque_span(u, FORKS, MIDSPAN).at(0.5).B[0, 0] * u,
    "fork_a03_phi": twist(FORKS, PointLoad(0.3, moment=(0, 0, 1.0)), 0.3),
    "fork_udl_phi": twist(FORKS, UNIFORM),
    "fork_lin_phi": twist(FORKS, LINEAR),
    "fix_udl_phi": twist(HELD, UNIFORM),
    "fix_mid_phi": twist(HELD, MIDSPAN),
    "fix_udl_B0": lambda u: abs(torque_span(u, HELD, UNIFORM).at(0.0).B[0, 0]) * u**2,
    "cant_tip_phi": twist((fixed(0),), TIP, 1.0),
    "cant_udl_phi": twist((fixed(0),), UNIFORM, 1.0),
    "propped_udl_phi": twist(PROPPED, UNIFORM),
    "propped_udl_TL": lambda u: abs(torque_span(u, PROPPED, UNIFORM).reactions[0][0].torque),
}
NAMES = {
    name: (name.rsplit("_", 1)[0], figure.inputs["L_over_a"])
    for name, figure in figures().items()
    if "L_over_a" in figure.inputs
}


@TABLE.check(NAMES, within=PRINTED)
def tabled(argument: tuple[str, float]) -> Found:
    """The quantity at L/a."""
    quantity, u = argument
    return Found.about(QUANTITIES[quantity](u))
