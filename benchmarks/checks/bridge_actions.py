"""Temperature and settlement: spans, arcs between walls, and stress within a section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.free_strain import section_strain
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.faces import Faces, Height
from soapfilm.solver.member.model.imposed import Settlement, Temperature, strain_field
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from .figure import Figure
from .registry import Found, Topic

IMPOSED = Topic(
    "Temperature and settlement",
    "Three moments, the elastic centre, integrals over the section; ours by free strains of the "
    "section in exact elements.",
)
#: Modulus (kN/m^2) and expansion where a figure has none of its own.
E, ALPHA, RISE, DEPTH = 34e6, 1e-5, 14.0, 0.8
Box = tuple[float, float, float, float]


def built(boxes: Sequence[Box], modulus: float = E, expansion: float = ALPHA) -> SectionConstants:
    """Constants of rectangles (x0, y0, x1, y1) by sums, with the outline that strains ask for."""
    material = Material("concrete", modulus, 0.2, thermal_expansion=expansion)
    regions = tuple(
        Region(Contour([[a, b], [c, b], [c, d], [a, d]]), material=material) for a, b, c, d in boxes
    )
    outline = Section(regions, "boxes", "m")
    table = np.array(boxes)
    width, height = table[:, 2] - table[:, 0], table[:, 3] - table[:, 1]
    x, y = (table[:, 0] + table[:, 2]) / 2, (table[:, 1] + table[:, 3]) / 2
    area = width * height
    c_x, c_y = (area @ x) / area.sum(), (area @ y) / area.sum()
    return SectionConstants(
        modulus, modulus / 2.4, area.sum(), area @ (height**2 / 12 + (y - c_y) ** 2),
        area @ (width**2 / 12 + (x - c_x) ** 2), 1.0, centroid=(c_x, c_y),
        shear_centre=(c_x, c_y), faces=Faces.of(outline), outline=outline,
    )  # fmt: skip


@cache
def deep() -> SectionConstants:
    """A rectangle of `DEPTH`."""
    return built([(-0.2, -0.3, 0.2, DEPTH - 0.3)])


def warmer_top(length: float, supports: Sequence[Support]) -> Solution:
    """A beam whose top is `RISE` warmer than its bottom."""
    heights = ((Height("bottom"), 0.0), (Height("top"), RISE))
    warm = Temperature(0.0, length, heights=heights)
    return solve(Member.prismatic(length, deep(), supports, imposed=(warm,)))


#: Free curvature of `warmer_top`, and the moment that it takes to undo it.
CURVATURE = ALPHA * RISE / DEPTH
STIFF = E * 0.4 * DEPTH**3 / 12 * CURVATURE


@IMPOSED.check("temp_grad", within=1e-8)
def many_spans(_figure: Figure) -> Found:
    """Sagging moments at the inner supports."""
    found: list[float] = []
    for count in range(2, 6):
        at = [8.0 * k for k in range(count + 1)]
        solution = warmer_top(at[-1], [fork(z) for z in at])
        found += list(solution.at(at[1:-1]).sagging[:, 0] / STIFF)
    return Found.several(found)


@IMPOSED.check("temp_grad_ss", within=1e-8)
def single_spans(_figure: Figure) -> Found:
    """End rotation and rise of a simple beam; moments where one end or both are fixed."""
    span = 12.0
    simple = warmer_top(span, [fork(0.0), fork(span)]).at([0.0, span / 2])
    propped = warmer_top(span, [fixed(0.0), fork(span)]).at([0.0]).sagging[0, 0]
    held = warmer_top(span, [fixed(0.0), fixed(span, z="free")]).at([3.0]).sagging[0, 0]
    turned, risen = abs(simple.theta_x[0, 0]), simple.v[1, 0]
    scale = CURVATURE * span
    return Found.several([turned / scale, risen / (scale * span), propped / STIFF, held / STIFF])


@IMPOSED.check("temp_arc_60", within=1e-8)
@IMPOSED.check("temp_arc_20", within=1e-8)
def arc_between_walls(figure: Figure) -> Found:
    """Thrust, moments at the walls and at the crown, in the arc's own plane."""
    given = figure.inputs
    length = math.radians(given["angle_deg"]) * given["R_m"]
    # The plane of the arc is that of I_y.
    section = SectionConstants(
        1.0, 1.0, given["EA_kN"], 10 * given["EI_kNm2"], given["EI_kNm2"], given["EI_kNm2"], 0.0
    )
    warm = Temperature(0.0, length, given["dT"], expansion=given["alphaT"])
    axis = Axis.arc(length, given["R_m"])
    member = Member.prismatic(axis, section, [fixed(0.0), fixed(length)], imposed=(warm,))
    table = solve(member).at([0.0, length / 2])
    thrust = math.hypot(table.N[0, 0], table.V_x[0, 0])
    return Found.several([thrust, *np.abs(table.M_y[:, 0])])


# -- within the section ---------------------------------------------------------------------------
def strained(
    section: SectionConstants, profile: Sequence[tuple[float, float]], depths: Sequence[float]
) -> tuple[float, float, list[float]]:
    """Mean strain, curvature, and the stress in equilibrium with itself at depths below the top."""
    assert section.outline is not None
    top = section.outline.bounds()[3]
    action = Temperature(0.0, 1.0, heights=tuple((top - d, t) for d, t in profile))
    field = strain_field(action, section)
    free = section_strain(field, section)
    points = np.array([[section.centroid[0], top - d] for d in depths])
    own = free.at(points, section.centroid) - section_expansion(section) * field.shape(*points.T)
    return free.axial, free.about_x, list(section.elastic_modulus * own)


def section_expansion(section: SectionConstants) -> float:
    """Of its one material."""
    assert section.outline is not None
    expansion = section.outline.regions[0].material.thermal_expansion
    assert expansion is not None
    return expansion


@IMPOSED.check("temp_nonlin_box", within=1e-7)
def concrete_box(figure: Figure) -> Found:
    """Signs of the figure: depth runs down, so moment and curvature are opposite to ours."""
    section = built(
        [(-5, -0.25, 5, 0), (-0.4, -1.6, 0.4, -0.25), (-2.5, -1.8, 2.5, -1.6)],
        figure.inputs["E_kN_m2"], figure.inputs["alphaT"],
    )  # fmt: skip
    depths = [0.0, 0.15, 0.25, 0.4, 1.7, 1.6, 1.8]
    mean, curved, own = strained(section, figure.inputs["profile_depth_dT"], depths)
    stiff = section.elastic_modulus * section.second_moment_x
    return Found.several([
        section.area, -section.centroid[1], section.second_moment_x,
        section.elastic_modulus * section.area * mean, -stiff * curved,
        mean / figure.inputs["alphaT"], -curved, *(s / 1e3 for s in own),
    ])  # fmt: skip


@IMPOSED.check("temp_nonlin_T", within=1e-7)
def tee_beam(figure: Figure) -> Found:
    """As the box."""
    section = built(
        [(-1.2, -0.2, 1.2, 0), (-0.2, -1.4, 0.2, -0.2)],
        figure.inputs["E_kN_m2"], figure.inputs["alphaT"],
    )  # fmt: skip
    depths = [0.0, 0.1, 0.2, 0.5, -section.centroid[1], 1.4]
    mean, curved, own = strained(section, figure.inputs["profile_depth_dT"], depths)
    modulus = section.elastic_modulus
    return Found.several([
        section.area, -section.centroid[1], section.second_moment_x, modulus * section.area * mean,
        -modulus * section.second_moment_x * curved, *(s / 1e3 for s in own),
    ])  # fmt: skip


@IMPOSED.check("temp_parab", within=2e-5)
def parabola(_figure: Figure) -> Found:
    """By 400 chords of the parabola: profiles are linear between their heights."""
    section = built([(0.0, 0.0, 0.3, 1.0)])
    profile = [(1 - u, u * u) for u in np.linspace(0.0, 1.0, 401).tolist()]
    mean, curved, own = strained(section, profile, [1.0, 0.5, 0.0])
    stress = [s / (E * ALPHA) for s in own]
    found = (mean / ALPHA, curved / ALPHA, *stress)
    return Found(found, (1e-5,) * len(found))


@IMPOSED.check("temp_megson", within=4e-4)
def two_flanges_and_a_web(_figure: Figure) -> Found:
    """Thin rectangles in place of lines."""
    t = 1e-4
    section = built([
        (-0.5, 1 - t / 2, 0.5, 1 + t / 2), (-0.5, -1 - t / 2, 0.5, t / 2 - 1),
        (-t / 2, -1 + t / 2, t / 2, 1 - t / 2),
    ])  # fmt: skip
    mean, curved, _ = strained(section, [(t / 2, 2.0), (2 + t / 2, 0.0)], [0.0])
    force, moment = (
        c * s / (ALPHA * t) for c, s in ((section.area, mean), (section.second_moment_x, curved))
    )
    return Found((force, moment), (4e-4 * force, 4e-4 * moment))


# -- settlement -----------------------------------------------------------------------------------
@IMPOSED.check("settle", within=1e-8)
def settlement(_figure: Figure) -> Found:
    """Sagging moments at the inner supports where one of them goes down."""
    span, down = 7.0, 0.012
    section = SectionConstants(210e6, 81e6, 0.02, 4e-4, 2e-4, 1e-5, 1e-7)
    found: list[float] = []
    for spans, which in ((2, 1), (2, 0), (3, 1), (3, 0)):
        at = [span * k for k in range(spans + 1)]
        supports = [fork(z) for z in at]
        moved = Settlement(supports[which].title, (0, -down, 0, 0, 0, 0))
        member = Member.prismatic(at[-1], section, supports, imposed=(moved,))
        scale = 210e6 * 4e-4 * down / span**2
        found += list(solve(member).at(at[1:-1]).sagging[:, 0] / scale)
    return Found.several(found)
