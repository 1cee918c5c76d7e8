"""Fully plastic torque: the sand heap of shapes whose volume is elementary."""

from __future__ import annotations

from soapfilm.geometry.profiles.by_name import circle, circle_hollow, rectangle
from soapfilm.geometry.section import Section
from soapfilm.solver.section.torsion.sand_heap import plastic_torque

from .bars import TRIANGLE
from .registry import Found, Topic

PLASTIC = Topic(
    "Fully plastic torque",
    "Heaps are summed with arcs as chords; the function promises about 1e-4, the interval shown.",
)
PROMISE = 1e-4
HEAPS: dict[str, Section] = {
    "plastic_circle": circle(radius=1).section(),
    "plastic_square": rectangle(x_dim=1, y_dim=1).section(),
    "plastic_rect2": rectangle(x_dim=2, y_dim=1).section(),
    "plastic_eqtri": TRIANGLE,
    "plastic_tube": circle_hollow(radius=1, wall_thickness=0.2).section(),
}


@PLASTIC.check(HEAPS, within=2e-4)
def heap(section: Section) -> Found:
    """T_p/k."""
    torque = plastic_torque(section)
    if torque.value is None:
        raise ValueError(torque.reason)
    return Found.about(torque.value, PROMISE * torque.value)
