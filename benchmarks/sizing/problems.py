"""Ten problems of two to four free dimensions; everything in them is invented.

Each is a member, a section, ranges, and limits of which other ones govern: twist, deflection,
stress, the critical load, size.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from .brute_force import FINEST

I_SECTION = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 8
FlangeThickness = 12
FilletRadius = 12
"""
TUBE = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "RectangleHollow"
XDim = 150
YDim = 250
WallThickness = 8
"""
PIPE = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "CircleHollow"
Radius = 80
WallThickness = 5
"""
CHANNEL = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "U"
Depth = 220
FlangeWidth = 80
WebThickness = 9
FlangeThickness = 12
"""
TEE = """
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "T"
Depth = 200
FlangeWidth = 150
WebThickness = 10
FlangeThickness = 14
"""
#: What every girder begins with: forks at both ends; its section is replaced.
ON_FORKS = """
unit = "mm"
[section.girder]
shape = "HEB200"
material = "S355"
[[support]]
at = ["start", "end"]
kind = "fork"
"""
#: Its own weight and what it carries, as they stand and increased.
DEAD_AND_LIVE = """
[self_weight]
case = "dead"
[[combination]]
name = "service"
factors = { dead = 1.0, live = 1.0 }
[[combination]]
name = "strength"
factors = { dead = 1.35, live = 1.5 }
"""
MEMBER = """
[[span]]
length = "{length} m"
[points]
seat = [{seat}, 100]
[[load]]
case = "live"
weight = "{load} kN/m"
place = "seat"
[[limit]]
twist = "{twist} deg"
combinations = ["service"]
[[limit]]
deflection = "span/{ratio}"
point = "seat"
combinations = ["service"]
[[limit]]
stress = "strength"
combinations = ["strength"]
{more}
"""


@dataclass(frozen=True, slots=True)
class Problem:
    """A sizing with free dimensions.

    Attributes
    ----------
    name : str
    section : str
        Text of the section file; empty where the ranges are of the member file.
    ranges : tuple of (key, least, greatest)
        Keys of its shape, or addresses, several with commas between them; the last one is a
        thickness, which more of never breaks a limit.
    member : str
        Text of the member file.
    nodes, finest, finer : int, float, float
        Of brute force (see there).
    held : bool
        Whether brute force only holds its nodes against the weight that slopes found.
    """

    name: str
    section: str
    ranges: tuple[tuple[str, float, float], ...]
    member: str
    nodes: int = 0
    finest: float = FINEST
    finer: float = 0.5
    held: bool = False

    def write(self, folder: Path) -> Path:
        """Write the three files and return the size file."""
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "member.toml").write_text(self.member)
        text = f'name = "{self.name}"\nmember = "member.toml"\n'
        if self.section:
            (folder / "section.toml").write_text(self.section)
            text += 'section = "section.toml"\n'
        for key, low, high in self.ranges:
            places = [at if "." in at else f"shape.1.{at}" for at in key.split(", ")]
            text += f'[[parameter]]\nname = "{key}"\nsets = {json.dumps(places)}\n'
            text += f"from = {low}\nto = {high}\n"
        file = folder / "size.toml"
        file.write_text(text)
        return file


def girder_member(**given: object) -> str:
    words = {"length": 6, "seat": 70, "load": 4, "twist": 2, "ratio": 300, "more": ""}
    return ON_FORKS + DEAD_AND_LIVE + MEMBER.format(**words | given)


WIDTH, DEPTH = ("OverallWidth", 80.0, 300.0), ("OverallDepth", 150.0, 500.0)
WEB, FLANGE = ("WebThickness", 5.0, 20.0), ("FlangeThickness", 6.0, 30.0)
SECOND = '[analysis]\norder = "second"\n'

PROBLEMS = (
    Problem("girder, width and flange", I_SECTION, (WIDTH, FLANGE), girder_member(twist=1.5)),
    Problem("girder, depth and flange, second order", I_SECTION, (DEPTH, FLANGE),
            girder_member(more=SECOND)),
    Problem("pipe, radius and wall", PIPE, (("Radius", 40.0, 120.0), ("WallThickness", 2.0, 20.0)),
            girder_member(seat=200)),
    Problem("tube that may be no section", TUBE,
            (("XDim", 30.0, 150.0), ("WallThickness", 3.0, 60.0)), girder_member(seat=150)),
    Problem("girder, three ranges", I_SECTION, (DEPTH, WIDTH, FLANGE),
            girder_member(twist=1, length=5)),
    Problem("tube, three ranges", TUBE,
            (("XDim", 50.0, 150.0), ("YDim", 100.0, 400.0), ("WallThickness", 3.0, 60.0)),
            girder_member(seat=250, load=6)),
    Problem("channel, three ranges", CHANNEL,
            (("Depth", 120.0, 350.0), ("FlangeWidth", 50.0, 150.0), ("FlangeThickness", 5.0, 30.0)),
            girder_member(seat=0, load=2, length=4)),
    Problem("tee, stress of a short stub", TEE,
            (("Depth", 80.0, 300.0), ("FlangeWidth", 60.0, 250.0), ("FlangeThickness", 5.0, 30.0)),
            girder_member(seat=30, load=20, length=1.5, twist=4, ratio=100)),
    Problem("girder, four ranges", I_SECTION, (DEPTH, WIDTH, WEB, FLANGE), girder_member()),
    Problem("girder, four ranges, second order", I_SECTION, (DEPTH, WIDTH, WEB, FLANGE),
            girder_member(more=SECOND)),
)  # fmt: skip
