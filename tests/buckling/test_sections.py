"""Thin-walled sections: names of their minima, what a curve hides, a rule of a code; their stresses
are checks of the book (`benchmarks/checks/section_buckling.py`)."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import c_shape
from soapfilm.solver.section.buckling.solution import solve_buckling

from benchmarks.checks.section_buckling import (
    SQUEEZE,
    STRIPS,
    compressed,
    lipped_channel,
    lipped_channel_in_bending,
    lowest_stress,
)


def stiffener_on_springs(h: float, b: float, c: float, t: float) -> float:
    """sigma_cr,s = 2 sqrt(K E I_s) / A_s of a lip and half of its flange, both flanges compressed
    (EN 1993-1-3:2006 eq. 5.10b and 5.15, from memory): a rough rule on the safe side."""
    half = b / 2
    area = (half + c) * t
    low = c * c / 2 * t / area
    inertia = half * t * low**2 + half * t**3 / 12 + t * c**3 / 12 + c * t * (c / 2 - low) ** 2
    arm = (half * t * (b - half / 2) + c * t * b) / area
    bending = 210e3 * t**3 / (4 * (1 - 0.3**2))
    spring = bending / (arm**2 * h + arm**3 + 0.5 * arm * arm * h)
    return float(2 * np.sqrt(spring * 210e3 * inertia) / area)


def test_minima_and_names_of_a_lipped_channel() -> None:
    """Local and distortional minima all but equal; the stiffener on springs is below by less than a
    fifth."""
    found = lipped_channel()
    local, distortional = found.minima
    assert (local.movement.kind, distortional.movement.kind) == ("local", "distortional")
    code = stiffener_on_springs(100.0, 50.0, 5.0, 1.0)
    assert code == pytest.approx(83.5853467, rel=1e-6)
    assert 0.8 * found.stress(distortional) < code < found.stress(distortional)
    assert max(local.change, distortional.change) < 1e-4
    assert found.longest[0].movement.kind == "torsional"


def test_a_hidden_distortional_minimum_is_found() -> None:
    """The strip has no distortional minimum on its lowest curve (48.62 N/mm2 at 227.3 mm; derived):
    it is on a higher branch, which local buckling hides."""
    found = solve_buckling(STRIPS["fs_lipC_300_75_20"], SQUEEZE, shortest=100)
    shown = [mode for mode in found.minima if not mode.hidden]
    hidden = [mode for mode in found.minima if mode.hidden]
    assert [mode.movement.kind for mode in shown] == ["local"]
    assert found.stress(shown[0]) == pytest.approx(48.62, rel=5e-3)
    assert [mode.movement.kind for mode in hidden] == ["distortional"]
    assert hidden[0].below > 0


def test_names_and_local_load_of_a_published_channel() -> None:
    """C 9 x 2.5 x 0.773 in, t = 0.059 in: local load 0.12 of that at yield (AISI, Direct Strength
    Method Design Guide CF06-1, from memory; rounded corners there); finite strip 0.1213."""
    bent = lipped_channel_in_bending()
    assert [m.movement.kind for m in bent.minima[:2]] == ["local", "distortional"]
    steel = Material("steel", 29500.0, 0.3)
    section = c_shape(depth=9, width=2.5, wall_thickness=0.059, girth=0.773).section(material=steel)
    assert lowest_stress(compressed(section), 6.745) / 55 == pytest.approx(0.1213, rel=5e-3)
