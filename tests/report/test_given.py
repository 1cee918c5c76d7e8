"""What a page says was given holds every figure of the file."""

from __future__ import annotations

from soapfilm.report.member.given import given_passages
from soapfilm.report.text.blocks import HeadedRows
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml

FILE = """
unit = "mm"
axis_point = [0, -150]
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "6 m"
[[support]]
name = "column"
at = "start"
kind = "fork"
twist = "4000 kN*m/rad"
lever_arm = "210 mm"
clearance = "1 mm"
clearance_arm = "200 mm"
[[support]]
name = "pier"
at = "end"
kind = "bearing pair"
spacing = "180 mm"
[points]
brick = [180, 0]
[self_weight]
case = "dead"
factor = 1.05
[[load]]
name = "stone"
case = "stone"
weight = "7.25 kN/m"
from = "1 m"
to = "5 m"
place = "brick"
[[load]]
case = "kick"
at = "2.5 m"
T = "3.5 kN*m"
F_x = "1.25 kN"
place = [10, 20]
[[deck]]
name = "slab"
twist = "87 kN*m/rad/m"
x = "20 kN/mm/m"
level = 150
[[spring]]
at = "4.5 m"
twist = "910 kN*m/rad"
[[secondary_beam]]
name = "joist"
at = "3 m"
E = "210 GPa"
I = "5790 cm^4"
length = "4.5 m"
side = "left"
far_end = "pinned"
connection = "905 kN*m/rad"
place = [-60, 0]
loads = { dead = "4.4 kN/m" }
[[diaphragm]]
at = ["2 m", "4 m"]
[[combination]]
name = "service"
factors = { dead = 1.1, stone = 1.2, kick = 0.7 }
[[limit]]
twist = "1.7 deg"
[[limit]]
deflection = "span/450"
point = "brick"
[[limit]]
stress = "strength"
factor = 1.15
"""


def test_every_figure_is_there() -> None:
    passages = given_passages(member_from_toml(FILE))
    text = {h: " ".join("\n".join(map(render_passage, [p])).split()) for h, p in passages.items()}
    said = {
        "Loads": ("stone", "q_y = -7.25 kN/m", "1 to 5 m", "brick", "T = 3.5", "F_x = 1.25 kN",
                  "(10, 20) mm", "1.05 times"),
        "Supports": ("column", "4000 kN", "play 0.2865 deg", "lever arm 210 mm", "bearing at x",
                     "may lift"),
        "Restraints": ("slab", "87 kN", "y = 150 mm", "910 kN", "joist", "4.5 m", "905 kN",
                       "far end pinned", "dead 4.4 kN/m"),
        "Diaphragms": ("rigid", "2, 4 m"),
        "Combinations": ("service", "1.1", "1.2", "0.7"),
        "Limits asked for": ("1.7 deg", "span/450", "brick", "times 1.15"),
        "Analysis": ("First order", "deform", "(0, -150) mm"),
    }  # fmt: skip
    for heading, words in said.items():
        missing = [w for w in words if w not in text[heading]]
        assert not missing, (heading, missing, text[heading])


def test_supports_name_their_joint_and_where_they_hold() -> None:
    """A pair whose level is given holds across between its bearings, and a joint has its name."""
    file = FILE.replace('spacing = "180 mm"', 'spacing = "180 mm"\nlevel = "-150 mm"')
    given = file.replace('kind = "fork"\ntwist = "4000 kN*m/rad"', 'joint = "column plate"')
    given = given.replace('clearance = "1 mm"\nclearance_arm = "200 mm"\n', "")
    joint = """
[[joint]]
name = "column plate"
kind = "end plate"
bolt = "M20"
grade = "8.8"
rows = 3
pitch = 80
gauge = 110
end_distance = 40
side_distance = 40
thickness = 16
weld = 6
beam_web = 11
ultimate = "470 MPa"
"""
    (rows,) = given_passages(member_from_toml(given + joint))["Supports"]
    assert isinstance(rows, HeadedRows)
    column, pier = rows.rows
    assert "joint 'column plate'" in column[-1]
    assert (column[3], pier[3]) == ("shear centre", "between its bearings")
