"""Columns that bend, twist, or both."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import u_shape
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fixed

from .figure import Figure, figures
from .registry import Found, Topic

COLUMNS = Topic("Columns that bend and twist")

#: Elements, whose factors come from above.
PARTS = 24


def channel(i: Mapping[str, Any]) -> SectionConstants:
    """The aluminium channel by constants, its centroid at the origin."""
    return SectionConstants(
        elastic_modulus=i["E"], shear_modulus=i["G"], area=i["A"], second_moment_x=i["Ixx"],
        second_moment_y=i["Iyy"], torsion_constant=i["J"], warping_constant=i["Cw"],
        shear_centre=(i["xs"], 0.0),
    )  # fmt: skip


def load(s: SectionConstants, length: float, supports: list[Support]) -> float:
    """Critical load in kN."""
    push = PointLoad(length, force=(0, 0, -1e3), place=(0.0, 0.0))
    made = Member.prismatic(length, s, supports, loads=[push])
    return critical_loads(made, parts=PARTS)[0].factor


def hinges(length: float) -> list[Support]:
    """At the centroid, warping free."""
    return [
        Support(z, x="held", y="held", twist="held", z=along, point=(0.0, 0.0))
        for z, along in ((0.0, "held"), (length, "free"))
    ]


@COLUMNS.check(
    {name: figures()[name] for name in ("ft_megson_given", "ft_megson_section")},
    within=6e-4,
    published=5e-3,
)
def hinged_channel(figure: Figure) -> Found:
    """It bends about the axis of symmetry and twists; the printed polar moment is rounded."""
    length = figure.inputs["L"]
    return Found.about(load(channel(figure.inputs), length, hinges(length)))


@COLUMNS.check("ft_fixed", within=2e-5)
def held_channel(_: Figure) -> Found:
    """All held but z at one end."""
    inputs = figures()["ft_megson_section"].inputs
    ends = [fixed(0.0), fixed(inputs["L"]).with_(z="free")]
    return Found.about(load(channel(inputs), inputs["L"], ends))


@COLUMNS.check("ft_unsym", within=2e-5)
def unsymmetrical(figure: Figure) -> Found:
    """No axis of symmetry: all three couple."""
    i = figure.inputs
    s = SectionConstants(
        elastic_modulus=i["E"], shear_modulus=i["G"], area=i["A"], second_moment_x=i["Ix"],
        second_moment_y=i["Iy"], torsion_constant=i["J"], warping_constant=i["Cw"],
        shear_centre=(i["x0"], i["y0"]),
    )  # fmt: skip
    return Found.about(load(s, i["L"], hinges(i["L"])))


@COLUMNS.check("fs_beam_link", within=4e-3)
def thick_channel(figure: Figure) -> Found:
    """By the constants of the outline; the source has those of thin walls by their mid-lines."""
    i = figure.inputs
    profile = u_shape(
        depth=i["web"] + i["t"], flange_width=i["flange"] + i["t"] / 2, web_thickness=i["t"],
        flange_thickness=i["t"],
    )  # fmt: skip
    outline = profile.section(material=Material("steel", i["E"], i["nu"]))
    s = solved_section(outline, "channel", 1e-5).constants
    push = PointLoad(i["L"], force=(0, 0, -1.0), place=s.centroid)
    ends = [
        Support(z, x="held", y="held", twist="held", z=along, point=s.centroid)
        for z, along in ((0.0, "held"), (i["L"], "free"))
    ]
    made = Member.prismatic(i["L"], s, ends, loads=[push])
    return Found.about(critical_loads(made, parts=PARTS)[0].factor / s.area)
