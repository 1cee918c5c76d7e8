"""Members whose critical loads are known."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import c_shape, u_shape
from soapfilm.geometry.profiles.solid import rectangle, rectangle_hollow
from soapfilm.geometry.profiles.symmetric import asymmetric_i_shape, i_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.member.critical.member_buckling import MemberBuckling, member_buckling
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import Support, fork

STEEL = Material("steel", 210e3, 0.3)
E, G, NU = 210e3, STEEL.shear, 0.3
CENTROID = Place("centroid")

#: A wide-flange shape so stocky that its section keeps its shape.
STOCKY = i_shape(
    overall_depth=200, overall_width=200, flange_thickness=20, web_thickness=20
).section(material=STEEL)
STRIP = rectangle(x_dim=10, y_dim=100).section(material=STEEL)
MONO = asymmetric_i_shape(
    overall_depth=220, top_flange_width=180, top_flange_thickness=20, bottom_flange_width=80,
    bottom_flange_thickness=20, web_thickness=16,
).section(material=STEEL)  # fmt: skip
ROLLED = i_shape(
    overall_depth=300, overall_width=150, flange_thickness=10.7, web_thickness=7.1
).section(material=STEEL)
TUBE = rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL)
LIPPED = c_shape(depth=302, width=77, wall_thickness=2, girth=21).section(material=STEEL)
CHANNEL = u_shape(depth=102, flange_width=101, web_thickness=2, flange_thickness=2).section(
    material=Material("aluminium", 70e3, 70 / 60 - 1)
)
GIRDER = i_shape(
    overall_depth=1540, overall_width=300, flange_thickness=20, web_thickness=6
).section(material=STEEL)

Load = PointLoad | LineLoad


@cache
def section(outline: Section) -> SolvedSection:
    """With its classical constants."""
    return solved_section(outline, "section", 1e-4)


def member(
    outline: Section, length: float, loads: Sequence[Load],
    supports: Sequence[Support] | None = None, **more: Any,
) -> Member:  # fmt: skip
    """Between forks unless told otherwise."""
    ends = supports or [fork(0), fork(length)]
    return Member.prismatic(length, section(outline).constants, ends, loads=loads, **more)


def buckling(outline: Section, made: Member, wanted: int = 1) -> MemberBuckling:
    """Of a member of one section."""
    known = {"section": section(outline)}
    return member_buckling(solve_deforming(made, course_of(made, known)), known, wanted)


def factor(outline: Section, length: float, loads: Sequence[Load], **more: Any) -> float:
    """The smallest factor."""
    return buckling(outline, member(outline, length, loads, **more)).factors[0].factor


def squeezed(length: float, force: float = 1.0) -> list[Load]:
    """Uniform compression: no support need hold it."""
    return [
        PointLoad(0.0, force=(0, 0, force), place=CENTROID),
        PointLoad(length, force=(0, 0, -force), place=CENTROID),
    ]


def sagging(length: float, moment: float) -> list[Load]:
    """Uniform moment."""
    return [PointLoad(0.0, moment=(moment, 0, 0)), PointLoad(length, moment=(-moment, 0, 0))]
