"""Shear lag: effective widths of flanges beside exact plane stress, Reissner, von Karman, a panel
of booms, and the code's formula."""

from __future__ import annotations

from functools import cache

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.effective_width import (
    EffectiveWidth,
    code_lengths,
    code_ratio,
    code_ratio_at_end,
    effective_width,
)
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.support import fixed

from .deforming_models import STEEL, solved, tube, under_a_sine
from .figure import Figure
from .registry import Found, Topic
from .warped_tubes import boomed

SHEAR_LAG = Topic(
    "Shear lag of flanges",
    "Reissner's flange is a sheet of stringers, which do not hold each other across: its stress at "
    "the webs is 2 to 4 % above that of plane stress. Over an end support the moment is zero: "
    "beta_0 of table 3.1 is stated there, and nothing measured beside it.",
)

WIDTH, HEIGHT = 3000.0, 1500.0
SPANS = {"L6": 6000.0, "L12": 12_000.0, "L24": 24_000.0}


@cache
def box() -> Section:
    """Flanges 16, webs 12."""
    return tube(WIDTH, HEIGHT, 16.0, 12.0)


def _lower_flange(solution: DeformingSolution, length: float) -> tuple[EffectiveWidth, float]:
    """From a web to the middle, at mid-span, and the plain bending stress of middle lines."""
    foot = -HEIGHT / 2
    found = effective_width(solution, (-WIDTH / 2, foot), (0.0, foot), length / 2)
    moment = abs(float(solution.resultants([length / 2]).M_x[0, 0]))
    return found, moment * HEIGHT / 2 / 60.75e9


@cache
def under_the_webs(length: float) -> tuple[EffectiveWidth, float]:
    """A half sine wave of load along both webs."""
    webs = [((x, 0.0), -1.0) for x in (-WIDTH / 2, WIDTH / 2)]
    return _lower_flange(under_a_sine(box(), length, webs), length)


@SHEAR_LAG.check({f"lag_exact_sine_{n}": SPANS[n] for n in SPANS}, within=0.015)
def plane_stress(length: float) -> Found:
    """Effective over full width, and the stress at the web over the plain one."""
    flange, plain = under_the_webs(length)
    return Found.several([float(flange.ratio[0]), abs(float(flange.at_web[0])) / plain])


@SHEAR_LAG.check({f"lag_reissner_{n}": SPANS[n] for n in SPANS}, within=0.075)
def sheet_of_stringers(length: float) -> Found:
    """Stress at the web and at the middle of the flange over the plain one, effective over full
    width."""
    flange, plain = under_the_webs(length)
    ends = [abs(float(s[0])) / plain for s in (flange.at_web, flange.at_end)]
    return Found.several([*ends, float(flange.ratio[0])])


@SHEAR_LAG.check("lag_reissner_udl", within=0.025)
def evenly_loaded(figure: Figure) -> Found:
    """Stress at the web and at the middle of the flange over the plain one."""
    length = figure.inputs["L"]
    webs = [LineLoad(0.0, length, (0, -1.0, 0), place=(x, 0.0)) for x in (-WIDTH / 2, WIDTH / 2)]
    flange, plain = _lower_flange(solved([box()], length, webs), length)
    return Found.several(abs(float(s[0])) / plain for s in (flange.at_web, flange.at_end))


@SHEAR_LAG.check("lag_karman", within=0.01)
def very_wide_flange(_: Figure) -> Found:
    """A flange of a wave and a half a side. Von Karman asks what width would carry the flange's
    force at the rib's own stress, E times the strain there; half the rib's thickness is taken off
    its force."""
    length, side, t, depth = 2000.0, 3000.0, 10.0, 300.0
    half = t / 2
    right = [(half, -depth), (half, -half), (side, -half), (side, half)]
    outline = Contour([*right, *((-x, y) for x, y in reversed(right))])
    tee = Section((Region(outline, (), STEEL),), unit="mm", name="tee")
    solution = under_a_sine(tee, length, [((0.0, -depth / 2), -1.0)])
    flange = effective_width(solution, (0.0, 0.0), (side * 0.999, 0.0), length / 2)
    stress = float(flange.at_web[0])
    force = 2 * float(flange.effective[0]) * stress - half * stress
    ends = solution.displacement([(0.0, 0.0)], [0.0, length])[:, 0, 2, 0]
    strain = np.pi / length * (ends[0] - ends[1]) / 2
    return Found.about(abs(force / (STEEL.elastic_modulus * strain)) / length)


@SHEAR_LAG.check("lag_sixboom", within=0.02)
def panel_of_booms(figure: Figure) -> Found:
    """P_A, P_B and the ratio of stresses depend on lambda L and B / A alone: here the sheet is 0.75
    thick and the panel longer in proportion, so that the sheet carries little itself, for which the
    booms are smaller. Read 50 mm off the built-in end, beyond the booms' own size; there the exact
    values are 0.1, 3.3 and 1.3 % less."""
    given, t, h, breadth = figure.inputs, 0.75, 600.0, 10.0
    d, area, edge, load = given["d"], given["A"], given["B"], given["Sy_N"]
    length = given["L"] * (given["t"] / t) ** 0.5
    web = 0.75
    sheets = [(-d, y - t / 2, d, y + t / 2) for y in (-h / 2, h / 2)]
    sheets += [(x - web / 2, -h / 2, x + web / 2, h / 2) for x in (-d, d)]
    booms = [
        (x, y, breadth, edge - d * t / 2 - web * h / 6) for x in (-d, d) for y in (-h / 2, h / 2)
    ]
    booms += [(0.0, y, breadth, area - d * t) for y in (-h / 2, h / 2)]
    solution = solved(
        [boomed(sheets, booms, "six booms")],
        length,
        [PointLoad(length, (0, -load / 2, 0), place=(x, 0.0)) for x in (-d, d)],
        diaphragms=np.linspace(0.0, length, 5)[1:],
        supports=[fixed(0.0)],
    )
    off = 50.0
    middle, side = solution.stress([(0.0, -h / 2), (d, -h / 2)], [off])[0, :, 2, 0]
    plain = -load * (length - off) / h / (2 * edge + area)
    scale = given["L"] / given["h"] / (length / h)
    return Found.several([middle * area * scale, side * edge * scale, side / plain])


@SHEAR_LAG.check({"lag_en_b1": False, "lag_en_b2": True}, within=1e-8)
def share_of_the_code(hogging: bool) -> Found:
    """At each kappa."""
    kappas = (0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 1.0)
    return Found.several(code_ratio(k, 1.0, hogging=hogging) for k in kappas)


@SHEAR_LAG.check("lag_en_b0", within=1e-8)
def share_of_the_code_at_ends(figure: Figure) -> Found:
    """At each kappa."""
    return Found.several(code_ratio_at_end(k, 1.0) for k in figure.inputs["kappa"])


@SHEAR_LAG.check("lag_en_ex", within=1e-8)
def flange_of_the_code(figure: Figure) -> Found:
    """beta and the width of one half."""
    width = figure.inputs["b0"]
    share = code_ratio(width, figure.inputs["Le"])
    return Found.several([share, share * width])


@SHEAR_LAG.check("lag_en_Le", within=1e-12)
def lengths_of_the_code(figure: Figure) -> Found:
    """Sagging of an end span and of an inner one, hogging between them, and of an overhang."""
    sagging, hogging = code_lengths([figure.inputs[f"L{k}"] for k in (1, 2, 3)], (False, True))
    return Found.several([*sagging[:2], *hogging])
