"""A composite girder built in stages: its section grows, and each stage keeps the stress it had."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.staged.assessment import assess_stages

COMPOSITE = """
unit = "mm"
[section.composite]
unit = "mm"
[[section.composite.shape]]
profile = "Rectangle"
XDim = 100
YDim = 300
material = "S355"
[[section.composite.shape]]
profile = "Rectangle"
XDim = 500
YDim = 100
move = [0, 200]
material = "slab"
[section.composite.material.slab]
E = "35 GPa"
nu = 0.2
[section.bare]
unit = "mm"
[[section.bare.shape]]
profile = "Rectangle"
XDim = 100
YDim = 300
material = "S355"
{soft}
[[segment]]
section = "composite"
[[span]]
length = "8 m"
[[support]]
at = ["start", "end"]
kind = "fork"
{prop}
[[load]]
case = "wet"
weight = "6 kN/m"
place = [0, 0]
[[load]]
case = "live"
weight = "10 kN/m"
place = [0, 0]
[[combination]]
name = "sum"
factors = {{ wet = 1.0, live = 1.0 }}
[[stage]]
name = "pouring"
cases = ["wet"]
sections = {{ composite = "bare" }}
[[stage]]
name = "in use"
{after}
"""


def moduli(ratio: float) -> tuple[float, float, float, float]:
    """I of the steel alone; of both in steel, their centroid, and the steel's lower edge."""
    steel, slab = 100 * 300, 500 * 100 / ratio
    centre = slab * 200 / (steel + slab)
    own = 100 * 300**3 / 12
    both = own + steel * centre**2 + 500 * 100**3 / 12 / ratio + slab * (200 - centre) ** 2
    return own, both, centre, -150.0


class TestAGirderThatGrows:
    """Steel alone carries the wet concrete, both together the rest: stress by hand."""

    def test_unpropped(self) -> None:
        found = assess_stages(member_from_toml(COMPOSITE.format(soft="", prop="", after="")))
        assert found.history.theory == "deforming"
        own, both, centre, edge = moduli(210 / 35)
        wet, live = 6 * 8000**2 / 8, 10 * 8000**2 / 8
        by_hand = wet * 150 / own + live * (centre - edge) / both
        stress = found.stages[1].stress
        assert stress is not None
        middle = int(np.abs(stress.z - 4000).argmin())
        assert stress.tension[middle, 0] == pytest.approx(by_hand, rel=5e-3)
        first = found.stages[0].stress
        assert first is not None
        assert first.tension[:, 0].max() == pytest.approx(wet * 150 / own, rel=5e-3)

    def test_propped_while_it_is_poured(self) -> None:
        """The prop's reaction 5/8 w L then acts on both together: 1.25 w (L/2)."""
        prop = '[[support]]\nname = "prop"\nat = "middle"\ny = "held"\n'
        text = COMPOSITE.format(soft="", prop=prop, after='without = ["prop"]')
        found = assess_stages(member_from_toml(text))
        own, both, centre, edge = moduli(210 / 35)
        half = 4000.0
        push = 1.25 * 6 * half
        there = -6 * half**2 / 8
        later = 10 * 8000**2 / 8 + push * 8000 / 4
        by_hand = there * 150 / own + later * (centre - edge) / both
        stress = found.stages[1].stress
        assert stress is not None
        middle = int(np.abs(stress.z - 4000).argmin())
        # The prop's line of contact is left out of neither: near it stress is a little off.
        assert stress.tension[middle, 0] == pytest.approx(by_hand, rel=0.03)
        away = int(np.abs(stress.z - 3000).argmin())
        z = float(stress.z[away])
        w, q = 6.0, 10.0
        r = w * half * 3 / 8
        first = r * z - w * z**2 / 2
        second = q * z * (8000 - z) / 2 + push * z / 2
        expected = first * 150 / own + second * (centre - edge) / both
        assert stress.tension[away, 0] == pytest.approx(expected, rel=5e-3)

    def test_creep_is_the_effective_modulus(self) -> None:
        soft = (
            '[section."long term"]\nunit = "mm"\ncreep = { slab = 2.0 }\n'
            '[[section."long term".shape]]\nprofile = "Rectangle"\nXDim = 100\nYDim = 300\n'
            'material = "S355"\n'
            '[[section."long term".shape]]\nprofile = "Rectangle"\nXDim = 500\nYDim = 100\n'
            'move = [0, 200]\nmaterial = "slab"\n'
            '[section."long term".material.slab]\nE = "35 GPa"\nnu = 0.2\n'
        )
        after = 'sections = { composite = "long term" }'
        found = assess_stages(member_from_toml(COMPOSITE.format(soft=soft, prop="", after=after)))
        own, both, centre, edge = moduli(3 * 210 / 35)
        wet, live = 6 * 8000**2 / 8, 10 * 8000**2 / 8
        by_hand = wet * 150 / own + live * (centre - edge) / both
        stress = found.stages[1].stress
        assert stress is not None
        middle = int(np.abs(stress.z - 4000).argmin())
        assert stress.tension[middle, 0] == pytest.approx(by_hand, rel=5e-3)

    def test_cracked_torsion_divides_the_twist(self) -> None:
        """A slab alone, uniform torque: twist grows as the torsion constant falls."""
        text = """
unit = "mm"
[section.slab]
unit = "mm"
[[section.slab.shape]]
profile = "Rectangle"
XDim = 400
YDim = 600
material = "C30/37"
{factor}
[[span]]
length = "6 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "20 kN/m"
place = [150, 0]
"""
        whole = assess(member_from_toml(text.format(factor="")), cures=False)
        cracked = assess(
            member_from_toml(
                text.replace('[section.slab]\nunit = "mm"', '[section.slab]\nunit = "mm"\n{factor}')
                .replace("{factor}\n[[span]]", "[[span]]")
                .format(factor="torsion_factor = 0.25")
            ),
            cures=False,
        )
        assert "cracked" in cracked.alone
        ratio = np.abs(cracked.table.phi).max() / np.abs(whole.table.phi).max()
        assert ratio == pytest.approx(4.0, rel=2e-2)
