"""Closed rings under a radial load: elastic critical loads of the classical theory."""

from __future__ import annotations

from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import circle
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support

from .registry import Found, Topic

RINGS = Topic(
    "Buckling: closed rings",
    "A round bar. A load that follows the ring's normal (3 E I/R^3 in its plane) has no row: loads "
    "keep their direction here, and springs q/R give one the pull of a central load.",
)
STEEL = Material("steel", 210e3, 0.3)
RADIUS = 5000.0
#: Supports around the ring: 24, of which every sixth stands at a node of the mode.
COUNT = 24


@RINGS.check({"ring_across": (False, False), "ring_across_central": (False, True)}, within=2e-3)
@RINGS.check({"ring_in_plane": (True, False), "ring_in_plane_central": (True, True)}, within=2e-3)
def load_of_a_ring(given: tuple[bool, bool]) -> Found:
    """q R^3 / (E I); nodes of the mode in its plane and out of it are held."""
    in_plane, central = given
    bar = solved_section(circle(radius=10).section(material=STEEL), "section", 1e-4).constants
    axis = Axis.ring(RADIUS)
    scale = STEEL.elastic_modulus * bar.second_moment_x / RADIUS**3
    load, factor = 2.0 * scale, 0.0
    while abs(factor - 1) > 1e-4:
        # The pull of a central load grows with the load that is sought.
        pull = load / RADIUS * axis.length / COUNT
        spring: str | float = pull if central else "free"
        across, along = ("held", spring) if in_plane else (spring, "free")
        supports = [
            Support(
                k * axis.length / COUNT, y=across if k % 6 else "held",
                z=along if k % 6 else "held", point=(0.0, 0.0),
            )
            for k in range(COUNT)
        ]  # fmt: skip
        ring = Member(
            axis, (Segment(0, axis.length, bar),), tuple(supports),
            loads=(LineLoad(0, axis.length, (load, 0, 0), place=(0.0, 0.0)),),
        )  # fmt: skip
        factor = critical_loads(ring, parts=4)[0].factor
        load *= factor
    return Found.about(load / scale)
