"""Wind on a member whose section is replaced by another."""

from __future__ import annotations

import pytest
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.review.remedy import with_section

FILE = """
unit = "m"
[section.low]
shape = "IPE 300"
material = "S355"
[section.high]
shape = "IPE 600"
material = "S355"
[[segment]]
section = "low"
[[span]]
length = 6
[[support]]
at = ["start", "end"]
kind = "fork"
[[wind]]
pressure = "1 kPa"
parapet = "0.5 m"
"""


def test_wind_blows_on_what_the_new_section_shows() -> None:
    request = member_from_toml(FILE)
    new = request.alternatives["high"].constants
    cure = with_section(request.member, "higher", new)
    assert cure.member is not None
    pairs = ((request.member, 0.3), (cure.member, 0.6))
    for member, depth in pairs:
        (wind,) = [x for x in member.loads if isinstance(x, LineLoad)]
        # 1 kPa on the depth and the parapet, half of the parapet above the middle of the shape.
        assert wind.force[0] == pytest.approx(1e3 * (depth + 0.5), rel=1e-6)
        assert wind.torque == pytest.approx(-wind.force[0] * 0.25, rel=1e-6)
