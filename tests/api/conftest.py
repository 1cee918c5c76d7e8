"""Solved once for all tests of the face."""

from __future__ import annotations

import pytest
import soapfilm as sf

GIRDER = """
name = "edge girder"
unit = "mm"

[material.steel]
grade = "S355"

[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7.1
FlangeThickness = 10.7
FilletRadius = 15
"""
MEMBER = """
name = "edge girder with a parapet"
unit = "mm"

[section.girder]
shape = "HEB200"
material = "S355"

[[span]]
length = "4 m"

[[support]]
name = "column"
at = ["start", "end"]
kind = "fork"

[points]
parapet = [90, 100]

[[load]]
weight = "3 kN/m"
place = "parapet"

[[limit]]
twist = "2 deg"
"""


@pytest.fixture(scope="session")
def girder() -> sf.SectionSolution:
    found = sf.solve(GIRDER)
    assert isinstance(found, sf.SectionSolution)
    return found


@pytest.fixture(scope="session")
def crowd(girder: sf.SectionSolution) -> sf.StressSolution:
    return girder.stress(V_y="120 kN", T="2 kN*m")


@pytest.fixture(scope="session")
def edge() -> sf.MemberSolution:
    found = sf.solve(MEMBER, remedies=False)
    assert isinstance(found, sf.MemberSolution)
    return found
