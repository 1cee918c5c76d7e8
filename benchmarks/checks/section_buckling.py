"""Thin-walled sections that buckle by half-wavelength, beside finite strips and hand formulas."""

from __future__ import annotations

from functools import cache

import numpy as np
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.open import c_shape, u_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.section.buckling.pencil import WavePencil
from soapfilm.solver.section.buckling.prepared import prepared
from soapfilm.solver.section.buckling.result import SectionBuckling
from soapfilm.solver.section.buckling.solution import buckling_of, solve_buckling
from soapfilm.solver.section.stress.actions import Actions

from .figure import Figure, figures
from .registry import Found, Topic

STEEL = Material("steel", 210e3, 0.3)
SQUEEZE = Actions(axial_force=-1.0)

THIN = Topic(
    "Buckling: thin-walled sections",
    "Lowest modes of a half-wave by 3D elasticity, middle lines as given there, sharp corners "
    "here. Hand formulas and the code's stiffener on springs are estimates; how far they lie off "
    "is what the rows tell.",
)


def lipped_z(web: float, flange: float, lip: float, t: float) -> Section:
    """Mid-line dimensions, lips at right angles."""
    h, b, c, o = web / 2, flange, lip, t / 2
    upper = [(-o, -h + o), (-o, h + o), (b + o, h + o), (b + o, h - c), (b - o, h - c)]
    upper.append((b - o, h - o))
    outline = [*upper, *((-x, -y) for x, y in upper)]
    return Section.single(Contour(outline[::-1]), material=STEEL, unit="mm")


def cruciform(leg: float, thickness: float) -> Section:
    """Four legs from the centre to their tips."""
    b, h = leg, thickness / 2
    outline = []
    for turn in range(4):
        c, s = np.cos(-turn * np.pi / 2), np.sin(-turn * np.pi / 2)
        outline += [(c * x - s * y, s * x + c * y) for x, y in ((h, h), (b, h), (b, -h))]
    return Section.single(Contour(np.round(outline, 9)[::-1]), material=STEEL, unit="mm")


STRIPS = {
    "fs_lipC_100_50_5": c_shape(depth=101, width=51, wall_thickness=1, girth=5.5).section(
        material=STEEL
    ),
    "fs_lipC_300_75_20": c_shape(depth=302, width=77, wall_thickness=2, girth=21).section(
        material=STEEL
    ),
    "fs_plainC_100_40_4": u_shape(
        depth=104, flange_width=42, web_thickness=4, flange_thickness=4
    ).section(material=STEEL),
    "fs_lipZ_200_75_20": lipped_z(200, 75, 20, 2),
}


def compressed(section: Section) -> WavePencil:
    """Under uniform compression."""
    ready = prepared(section)
    return ready.pencil(ready.actions_of(SQUEEZE))


def lowest_stress(pencil: WavePencil, length: float) -> float:
    """Lowest critical stress at a half-wavelength."""
    return float(pencil.lowest(np.pi / length, 4)[0][0] * pencil.stress.compression)


@cache
def lipped_channel() -> SectionBuckling:
    """100 x 50 x 5 x 1 in compression."""
    return solve_buckling(STRIPS["fs_lipC_100_50_5"], SQUEEZE, shortest=30)


@cache
def lipped_channel_in_bending() -> SectionBuckling:
    """9 x 2.5 x 0.773 x 0.059, in and ksi."""
    steel = Material("steel", 29500.0, 0.3)
    section = c_shape(depth=9, width=2.5, wall_thickness=0.059, girth=0.773).section(material=steel)
    return buckling_of(prepared(section), Actions(moment_x=1.0), 2.0, 60.0)


@cache
def cross_in_compression() -> SectionBuckling:
    """Four legs of 100 x 5, up to 2 m."""
    return buckling_of(prepared(cruciform(100.0, 5.0)), SQUEEZE, 500.0, 2000.0)


@THIN.check("tors_cruciform", within=5e-3)
def torsion_of_a_cruciform(_: Figure) -> Found:
    """The lowest of the longest half-wave."""
    found = cross_in_compression()
    return Found.about(found.stress(found.longest[0]))


#: Walls of a tenth of the flange bend through shear too, which strips leave out.
THICK = "fs_plainC_100_40_4"


@THIN.check({name: figures()[name] for name in STRIPS if name != THICK}, within=5e-3)
@THIN.check(THICK, within=0.03)
def beside_finite_strips(figure: Figure) -> Found:
    """At every half-wavelength."""
    pencil = compressed(STRIPS[figure.name])
    return Found.several(lowest_stress(pencil, a) for a in figure.inputs["half_wavelengths"])


@THIN.check("fs_lipC_minima", within=5e-3)
def minima_of_a_lipped_channel(_: Figure) -> Found:
    """Local, then distortional."""
    found = lipped_channel()
    stresses = [found.stress(mode) for mode in found.minima]
    return Found.several([*stresses, *(mode.half_wavelength for mode in found.minima)])


@THIN.check("dist_hand_C100", within=0.1)
def distortion_by_hand(_: Figure) -> Found:
    """Its distortional minimum."""
    found = lipped_channel()
    distortional = found.minima[1]
    return Found.several([found.stress(distortional), distortional.half_wavelength])


@THIN.check("dist_ec3_C100", within=(0.0, 0.25))
def distortion_by_the_code(_: Figure) -> Found:
    """Its distortional minimum."""
    found = lipped_channel()
    return Found.about(found.stress(found.minima[1]))


@THIN.check("fs_9CS_beam", within=5e-3, published=0.04)
def moments_of_a_lipped_channel(_: Figure) -> Found:
    """By that at yield."""
    found = lipped_channel_in_bending()
    return Found.several(found.stress(mode) / 55 for mode in found.minima[:2])


@THIN.check("dist_hand_9CS_bend", within=0.12)
def distortion_in_bending_by_hand(_: Figure) -> Found:
    """Its distortional minimum."""
    found = lipped_channel_in_bending()
    distortional = found.minima[1]
    return Found.several([found.stress(distortional), distortional.half_wavelength])
