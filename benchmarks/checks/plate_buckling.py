"""Plates that buckle: coefficients k of pi^2 E / (12 (1 - nu^2)) (t/b)^2 from 3D elasticity.

A hinged edge is held across the plate and along the member over its thickness (so w = 0 all along
it), a clamped one wholly.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.optimize import minimize_scalar
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.solver.section.buckling.pencil import WavePencil
from soapfilm.solver.section.buckling.prepared import Prepared, prepared
from soapfilm.solver.section.buckling.prestress import StressAt, prestress
from soapfilm.solver.section.deforming.elasticity.fields import Spots

from .figure import Figure
from .registry import Found, Topic

WIDTH, THICK = 100.0, 1.0
EULER = float(np.pi**2 * 210e3 / (12 * (1 - 0.3**2)) * (THICK / WIDTH) ** 2)
HINGED, CLAMPED, FREE = (1, 2), (0, 1, 2), ()
#: Half-waves along a plate of finite length, and waves across for each of them.
WAVES, ACROSS = 9, 6
#: Half-wavelength, in widths, that stands for an endless plate with a free edge.
ENDLESS = 300.0

PLATES = Topic(
    "Buckling: plates",
    "A plate of b/t = 100 solved as a section that buckles, by 3D elasticity, its edges supported "
    "along the member; published coefficients are those of Kirchhoff's thin plates.",
)


@dataclass(frozen=True, slots=True)
class LongPlate:
    """Compression that varies from edge to edge, or shear; what holds both edges; about where the
    minimum lies, in widths."""

    left: float
    right: float
    edges: tuple[tuple[int, ...], tuple[int, ...]]
    length: float = 1.0
    sheared: bool = False

    def stress(self, spots: Spots) -> tuple[np.ndarray, np.ndarray | None]:
        """Normal stress, and shear where there is any."""
        if self.sheared:
            tau = np.zeros((*spots.points.shape[:2], 2))
            tau[..., 0] = 1.0
            return np.zeros(spots.points.shape[:2]), tau
        share = spots.points[..., 0] / WIDTH + 0.5
        return -(self.left + (self.right - self.left) * share), None


LONG = {
    "k_ss": (LongPlate(1, 1, (HINGED, HINGED), 1.0),),
    "k_cs": (LongPlate(1, 1, (CLAMPED, HINGED), 0.795),),
    "k_cc": (LongPlate(1, 1, (CLAMPED, CLAMPED), 0.661),),
    "k_cf": (LongPlate(1, 1, (CLAMPED, FREE), 1.638),),
    "k_tri": (LongPlate(1, 0, (HINGED, HINGED), 0.983),),
    "k_psi": (
        LongPlate(1, 0.5, (HINGED, HINGED), 0.998),
        LongPlate(1, -0.5, (HINGED, HINGED), 0.895),
    ),
    "k_bend": (LongPlate(1, -1, (HINGED, HINGED), 0.672),),
    "k_bend_cc": (LongPlate(1, -1, (CLAMPED, CLAMPED), 0.473),),
    "k_shear": (LongPlate(0, 0, (HINGED, HINGED), 1.2518, sheared=True),),
    "k_shear_c": (LongPlate(0, 0, (CLAMPED, CLAMPED), 0.8296, sheared=True),),
}
OUTSTAND = LongPlate(1, 1, (HINGED, FREE))


@cache
def plate() -> Prepared:
    """The section."""
    steel = Material("steel", 210e3, 0.3)
    return prepared(rectangle(x_dim=WIDTH, y_dim=THICK).section(material=steel))


@cache
def supported(case: LongPlate) -> WavePencil:
    """The plate with its edges held and stressed."""
    ready = plate()
    mesh, inner = ready.fields.mesh, ready.fields.order - 1
    held = np.zeros((len(mesh.vertices) + inner * len(mesh.edges), 3), dtype=bool)
    for x, components in zip((-WIDTH / 2, WIDTH / 2), case.edges, strict=True):
        ends = np.abs(mesh.vertices[:, 0] - x) < 1e-9
        both = np.concatenate([ends, np.repeat(ends[mesh.edges].all(axis=1), inner)])
        held[np.ix_(both, components)] = True
    stress: StressAt = case.stress
    return WavePencil(ready.matrices, prestress(ready.fields, stress), held)


def coefficients(case: LongPlate, length: float, wanted: int = 2) -> np.ndarray:
    """k of the lowest modes at a half-wavelength in widths."""
    return supported(case).lowest(np.pi / (length * WIDTH), wanted)[0] / EULER


@cache
def minimum(case: LongPlate) -> tuple[float, float]:
    """The least k over half-wavelengths, and where it is, in widths."""
    found = minimize_scalar(
        lambda a: coefficients(case, a)[0],
        bracket=(0.85 * case.length, case.length, 1.15 * case.length),
        options={"xtol": 1e-3},
    )
    return float(found.fun), float(found.x)


@PLATES.check("plate_sigE", within=3e-9, published=2e-3)
def reference_stress(_: Figure) -> Found:
    """By the formula."""
    return Found.about(EULER)


@PLATES.check(LONG, within=5e-3, published=1e-2)
def least_over_half_wavelengths(cases: tuple[LongPlate, ...]) -> Found:
    """Each at its own half-wavelength."""
    return Found.several(minimum(case)[0] for case in cases)


@PLATES.check({"k_sf": (None, 1.0, 2.0), "k_sf_5": (5.0,)}, within=5e-3)
def free_edge_by_length(lengths: tuple[float | None, ...]) -> Found:
    """At so many widths; at 300 the plate as a whole bends in its plane first."""
    endless = coefficients(OUTSTAND, ENDLESS, 3)[1]
    return Found.several(endless if a is None else coefficients(OUTSTAND, a)[0] for a in lengths)


@PLATES.check("k_out", within=5e-3, published=1e-2)
def outstand_under_a_gradient(figure: Figure) -> Found:
    """Among the lowest three: those that bend in their plane are others."""
    found = []
    for (left, right), k in zip(((0, 1), (1, 0)), figure.values, strict=True):
        modes = coefficients(LongPlate(left, right, (HINGED, FREE)), ENDLESS, 3)
        found.append(modes[np.abs(modes / k - 1).argmin()])
    return Found.several(found)


@PLATES.check("k_bend_ab", within=5e-3, published=1e-2)
def bending_of_short_plates(_: Figure) -> Found:
    """One half-wave or two."""
    lengths = (0.4, 0.5, 0.6, 2 / 3, 0.75, 0.8, 0.9, 1.0)
    (bent,) = LONG["k_bend"]
    return Found.several(min(coefficients(bent, a / n)[0] for n in (1, 2)) for a in lengths)


@PLATES.check("k_shear_ab", within=5e-3, published=0.02)
def shear_of_short_plates(_: Figure) -> Found:
    """Four hinged edges."""
    return Found.several(short_in_shear(length) for length in (1, 1.5, 2, 3, 4))


def short_in_shear(length: float) -> float:
    """k of a plate with four hinged edges in shear, of a length in widths.

    Along it w is a sum of sines, m pi z / a, whose waves across are those of uniform compression.
    K(k) keeps them apart; shear couples m and n by 2 m n / (m^2 - n^2) where m + n is odd.
    """
    pressed, sheared = (supported(LONG[name][0]) for name in ("k_ss", "k_shear"))
    k = np.pi / (length * WIDTH)
    waves = [pressed.lowest(m * k, ACROSS)[1] for m in range(1, WAVES + 1)]
    m = np.repeat(np.arange(1, WAVES + 1), [w.shape[2] for w in waves])
    both = sheared.products(np.concatenate(waves, axis=2))
    stiff = np.zeros(both.C.shape)
    for number in range(1, WAVES + 1):
        own = np.ix_(m == number, m == number)
        stiff[own] = both.elastic(number * k)[own] * length * WIDTH / 2
    one, other = np.meshgrid(m, m, indexing="ij")
    odd = (one + other) % 2 == 1
    coupling = np.where(odd, 2 * one * other / np.where(odd, one**2 - other**2, 1), 0.0)
    assert both.S is not None
    values = np.linalg.eigvals(np.linalg.solve(stiff, coupling * both.S))
    return float(1 / np.abs(values.real).max() / EULER)
