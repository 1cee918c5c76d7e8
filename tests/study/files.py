"""Texts of files that several tests use; everything in them is invented."""

from __future__ import annotations

TUBE = """
name = "tube"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
density = "7850 kg/m^3"
strength = "355 MPa"
[[shape]]
name = "wall"
profile = "RectangleHollow"
XDim = 100
YDim = 60
WallThickness = 5
"""
ROUND = """
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
density = "7850 kg/m^3"
strength = "355 MPa"
[[shape]]
name = "pipe"
profile = "CircleHollow"
Radius = 80
WallThickness = 5
"""
#: A load along a line beside the shear centre of a beam on forks.
BEAM = """
unit = "mm"
[section.girder]
shape = "IPE300"
material = "S355"
[[span]]
length = "6 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
name = "wall"
case = "wall"
weight = "4 kN/m"
eccentricity = [200, 0]
[self_weight]
case = "dead"
[[combination]]
name = "all"
factors = { dead = 1.0, wall = 1.0 }
[[limit]]
twist = "1 deg"
[[limit]]
deflection = "span/300"
[[limit]]
stress = "strength"
"""
GRID = """
name = "walls"
section = "tube.toml"
[[parameter]]
name = "t"
sets = "wall.WallThickness"
values = [4, 6, 80]
[[parameter]]
name = "b"
sets = "shape.1.XDim"
from = 80
to = 120
steps = 2
"""
