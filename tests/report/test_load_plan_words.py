"""Words of a load plan."""

from __future__ import annotations

from matplotlib.figure import Figure
from soapfilm.report.member.places import draw_loads
from soapfilm.report.member.units import MemberUnits
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess

TWO_SECTIONS = """
name = "bar"
unit = "m"
{sections}
[[segment]]
section = "low"
to = 4
[[segment]]
section = "high"
[[span]]
length = 10
[[support]]
name = "prop"
at = ["start", "end"]
kind = "fork"
[[wind]]
pressure = "1 kPa"
depth = 2
level = 1.0
"""
SECTION = """
[section.{name}]
E = "210 GPa"
G = "81 GPa"
A = "5000 mm^2"
I_x = "4e6 mm^4"
I_y = "4e6 mm^4"
J = "1e6 mm^4"
shear_centre = [0, {level}]
"""


def test_wind_over_several_sections_is_named_once() -> None:
    """2 kN/m, with its torque about each shear centre as a range."""
    sections = "".join(
        SECTION.format(name=n, level=y) for n, y in (("low", "0"), ("high", "'100 mm'"))
    )
    request = member_from_toml(TWO_SECTIONS.format(sections=sections))
    axes = Figure().add_subplot()
    draw_loads(axes, assess(request), MemberUnits(request.units))
    (words,) = [t.get_text() for t in axes.texts if t.get_text()]
    assert words.startswith("wind 2 kN/m across, m_t = ")
    assert words.count("wind") == 1
    assert " to " in words
