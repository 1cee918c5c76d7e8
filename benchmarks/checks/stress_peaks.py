"""Greatest torsional stress of bars that have an exact solution, and at small fillets."""

from __future__ import annotations

import numpy as np
from soapfilm.geometry.profiles.by_name import circle, ellipse, l_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.elements.integrals import stations_at

from .bars import ASPECTS, SEMICIRCLE, TRIANGLE, polygon, rectangle_of
from .curved_bars import notched_bar
from .registry import Found, Topic

#: J's accuracy for a field whose peak is wanted.
ACCURACY = 1e-8

PEAKS = Topic(
    "Greatest torsional stress",
    "Torsion modulus W_t = T/tau_max; the interval is what two estimates of the stress leave.",
)

#: Name of the figure: section, and what the printed W_t is to be multiplied by.
MODULI: dict[str, tuple[Section, float]] = {
    **{f"rect_Wt_{a:g}": (rectangle_of(a), a) for a in ASPECTS},
    "circle_Wt": (circle(radius=1).section(), 1),
    "ellipse_Wt": (ellipse(semi_axis1=2, semi_axis2=1, deviation=1e-6).section(), 1),
    "eqtri_Wt": (TRIANGLE, 1),
    "semicircle_Wt": (SEMICIRCLE, 1),
    **{f"ngon{n}_Wt": (polygon(n), 1) for n in (5, 6, 12)},
}
#: An ellipse of arcs has their curvature, not its own, at the end of the short axis.
ELLIPSE = 2e-3


def torsion_modulus(result: SectionResult) -> Found:
    """W_t with its interval."""
    modulus = result.torsion_modulus
    if modulus.value is None:
        raise ValueError(modulus.reason)
    return Found.about(modulus.value, modulus.value * modulus.change)


@PEAKS.check({name: name for name in MODULI if name != "ellipse_Wt"}, within=1e-4, published=8e-3)
def modulus(name: str) -> Found:
    """W_t in the source's unit."""
    section, factor = MODULI[name]
    return torsion_modulus(solve_section(section, ACCURACY)).scaled(1 / factor)


@PEAKS.check({"ellipse_Wt": "ellipse_Wt"}, within=ELLIPSE)
def ellipse_modulus(name: str) -> Found:
    """W_t."""
    return modulus(name)


def stress_at(result: SectionResult, x: float, y: float) -> float:
    """|tau| per unit twist at a point of a section of straight edges."""
    field = result.field
    c = field.mesh.corners
    sides = np.stack([c[:, 1] - c[:, 0], c[:, 2] - c[:, 0]], axis=2)
    local = np.linalg.solve(sides, (np.array([x, y]) - c[:, 0])[..., None])[..., 0]
    inside = np.minimum(local.min(axis=1), 1 - local.sum(axis=1))
    k = int(np.argmax(inside))
    if inside[k] < -1e-9:
        raise ValueError(f"({x}, {y}) lies outside of the section")
    stations = stations_at(field.mesh, field.order, *local[k][:, None], np.array([k]))
    gradient = stations.gradients(field.phi[[k]])
    return float(np.hypot(*gradient[0, 0]))


@PEAKS.check({f"rect_short_{a:g}": a for a in (1.5, 2, 3, 4)}, within=1e-3, published=2e-3)
def short_side(aspect: float) -> Found:
    """Stress amid the short side over that amid the long one."""
    result = solve_section(rectangle_of(aspect), 1e-9)

    def middle(x: float, y: float, along: tuple[float, float]) -> float:
        """From two places beside the middle, for the stress is even there: the mesh may have a
        vertex in the middle itself."""
        near, far = (stress_at(result, x + s * along[0], y + s * along[1]) for s in (0.013, 0.026))
        return (4 * near - far) / 3

    return Found.about(middle(aspect / 2, 0, (0, 1)) / middle(0, 0.5, (1, 0)))


@PEAKS.check("notched_bar_tau", within=1e-6)
def notch_stress(_figure: object) -> Found:
    """tau/(G theta) at the bottom of the notch."""
    result = solve_section(notched_bar(), 1e-10)
    stress = result.torsion_constant / torsion_modulus(result).values[0]
    return Found.about(stress, stress * result.torsion_modulus.doubt)


def fillet_stress(radius: float, thickness: float = 10.0) -> Found:
    """tau_max/(G theta c) of an angle with legs of 150 and c = `thickness`."""
    profile = l_shape(depth=150, thickness=thickness, fillet_radius=radius)
    result = solve_section(profile.section(), 1e-8)
    stress = result.torsion_constant / torsion_modulus(result).values[0] / thickness
    return Found.about(stress, stress * result.torsion_modulus.doubt)


@PEAKS.check({f"fillet_peak_{r:g}": r for r in (2.5, 1.0, 0.4)}, within=1e-3)
def fillet_peak(radius: float) -> Found:
    """tau_max/(G theta c)."""
    return fillet_stress(radius)


@PEAKS.check("trefftz", within=(-0.46, -0.42))
def small_fillet(_figure: object) -> Found:
    """The factor at r = c/400: contradicts the quoted one, see the figure's reason."""
    return fillet_stress(0.025).scaled((0.025 / 10) ** (1 / 3))
