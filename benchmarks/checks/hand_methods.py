"""Hand methods and connection forces."""

from __future__ import annotations

import math

from benchmarks.checks.formulas.connection import intermittent_weld_force, weld_throat
from benchmarks.checks.formulas.hand_method import (
    flange_analogy_factor,
    slit_ratios,
    thin_tube_constant,
)

from .figure import Figure
from .registry import Found, Topic

HAND = Topic("Hand methods and connections")


@HAND.check("hib_tri", within=1e-6, published=5e-3)
def triangular_tube(figure: Figure) -> Found:
    """Torque by stress in kNm, by twist in Nm; SI."""
    i = figure.inputs
    area = math.sqrt(3) / 4 * i["b"] ** 2
    j = thin_tube_constant(area, 3 * i["b"] / i["t"])
    by_stress = 2 * area * i["t"] * i["tau"]
    return Found.several((by_stress / 1e3, i["G"] * j * i["phi"] / i["L"]))


@HAND.check("slit_tube", within=1e-12)
def slit_tube(figure: Figure) -> Found:
    """Ratios of J and of stress, closed to slit."""
    return Found.several(slit_ratios(figure.inputs["r"], figure.inputs["t"]))


@HAND.check("box_weld", within=1e-6)
def closing_weld(figure: Figure) -> Found:
    """Force of a weld in kN, throat in mm."""
    i = figure.inputs
    force = intermittent_weld_force(i["q_N_per_mm"], i["s_mm"]) / 1e3
    return Found.several((force, weld_throat(i["q_N_per_mm"], i["tau_w"])))


@HAND.check("lin_beta", within=1e-7)
def flange_analogy(figure: Figure) -> Found:
    """tanh(u)/u."""
    return Found.several(flange_analogy_factor(2 * u, 1.0) for u in figure.inputs["u"])
