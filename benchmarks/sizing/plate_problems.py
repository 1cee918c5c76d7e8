"""Problems of four and five free dimensions: a girder of unequal flanges, a box of two cells, a box
curved in plan, the edge beam that carries stone, a tapered arm. Everything in them is invented.

Their sections keep their shape: brute force costs a thousand solutions each, and the other ten
problems are judged by sections that deform.
"""

from __future__ import annotations

from .problems import DEAD_AND_LIVE, ON_FORKS, Problem, girder_member

PLATES = """
unit = "mm"
[material.steel]
grade = "S355"
[quantity]
{quantities}
{plates}
{welds}
"""


def _plates(
    quantities: dict[str, float], plates: dict[str, tuple[str, str, str]], *welds: tuple[str, str]
) -> str:
    """A section of plates, joined by butt welds: the points and the thickness of each follow
    quantities."""
    return PLATES.format(
        quantities="\n".join(f"{name} = {value}" for name, value in quantities.items()),
        plates="\n".join(
            f'[[plate]]\nname = "{name}"\npoints = [[{start}], [{end}]]\nthickness = "= {thick}"'
            for name, (start, end, thick) in plates.items()
        ),
        welds="\n".join(
            f'[[weld]]\nbetween = ["{one}", "{other}"]\nkind = "full"' for one, other in welds
        ),
    )


GIRDER = _plates(
    {"b_top": 200, "t_top": 15, "b_foot": 150, "t_foot": 15, "depth": 400, "web": 8},
    {
        "over": ('"= -b_top / 2", "= depth / 2"', '"= b_top / 2", "= depth / 2"', "t_top"),
        "under": ('"= -b_foot / 2", "= -depth / 2"', '"= b_foot / 2", "= -depth / 2"', "t_foot"),
        "between": ('0, "= -depth / 2"', '0, "= depth / 2"', "web"),
    },
    ("over", "between"),
    ("under", "between"),
)
TWO_CELLS = _plates(
    {"top": 12, "foot": 12, "left": 8, "middle": 8, "right": 8},
    {
        "over": ("-400, 200", "400, 200", "top"),
        "under": ("-400, -200", "400, -200", "foot"),
        "one": ("-380, -200", "-380, 200", "left"),
        "two": ("-100, -200", "-100, 200", "middle"),
        "three": ("380, -200", "380, 200", "right"),
    },
    *((flange, web) for flange in ("over", "under") for web in ("one", "two", "three")),
)
BOX = _plates(
    {"width": 400, "depth": 400, "flange": 12, "web": 10},
    {
        "over": ('"= -width / 2", "= depth / 2"', '"= width / 2", "= depth / 2"', "flange"),
        "under": ('"= -width / 2", "= -depth / 2"', '"= width / 2", "= -depth / 2"', "flange"),
        "one": ('"= 25 - width / 2", "= -depth / 2"', '"= 25 - width / 2", "= depth / 2"', "web"),
        "two": ('"= width / 2 - 25", "= -depth / 2"', '"= width / 2 - 25", "= depth / 2"', "web"),
    },
    *((flange, web) for flange in ("over", "under") for web in ("one", "two")),
)
KEPT = '[analysis]\nsections = "keep their shape"\n'
#: A walkway on a box between forks, loaded beside its middle: two cells of unequal width.
WALKWAY = f"""{ON_FORKS}{DEAD_AND_LIVE}{KEPT}
[[span]]
length = "16 m"
[[load]]
case = "live"
weight = "18 kN/m"
place = [-400, 200]
[[limit]]
twist = "0.1 deg"
combinations = ["service"]
[[limit]]
deflection = "span/200"
point = [400, 200]
combinations = ["service"]
[[limit]]
stress = "150 MPa"
combinations = ["strength"]
"""
CURVED = f"""{ON_FORKS}{DEAD_AND_LIVE}{KEPT}
[[span]]
length = "14 m"
radius = "25 m"
[[load]]
case = "live"
weight = "8 kN/m"
place = [0, 0]
[[limit]]
twist = "0.5 deg"
combinations = ["service"]
[[limit]]
stress = "200 MPa"
combinations = ["strength"]
[[limit]]
first_frequency = "5 Hz"
"""
STONE = f"""{ON_FORKS}{KEPT}
[[span]]
length = "6 m"
[points]
stone = [340, -60]
[self_weight]
case = "frame"
[[load]]
case = "stone"
weight = "5.2 kN/m"
place = "stone"
from = "0.25 m"
to = "5.75 m"
[[load]]
case = "crew"
at = "middle"
weight = "3 kN"
place = "stone"
eccentricity = [150, 0]
[[combination]]
name = "stone hung"
factors = {{ frame = 1.0, stone = 1.0 }}
[[combination]]
name = "crew on it"
factors = {{ frame = 1.0, stone = 1.0, crew = 1.0 }}
[[combination]]
name = "strength"
factors = {{ frame = 1.35, stone = 1.35, crew = 1.5 }}
[[limit]]
twist = "0.3 deg"
combinations = ["stone hung", "crew on it"]
[[limit]]
deflection = "span/600"
point = "stone"
combinations = ["stone hung"]
[[limit]]
stress = "strength"
factor = 1.1
combinations = ["strength"]
"""


def _end(name: str, depth: int) -> str:
    """The section of one end of the arm."""
    return f"""
[section.{name}]
[[section.{name}.shape]]
profile = "I"
OverallWidth = 150
OverallDepth = {depth}
WebThickness = 8
FlangeThickness = 12
"""


#: An arm whose web tapers, its gutter, which is the live load, on the edge of the flange.
ARM = f"""
unit = "mm"
[material.steel]
grade = "S355"
{_end("root", 400)}{_end("tip", 200)}{DEAD_AND_LIVE}{KEPT}
[[span]]
length = "3 m"
[[segment]]
section = "root"
taper_to = "tip"
[[support]]
at = "start"
kind = "fixed"
[[load]]
case = "live"
name = "gutter"
weight = "6 kN/m"
place = "top, 10 mm from right"
[[limit]]
twist = "1.5 deg"
combinations = ["service"]
[[limit]]
deflection = "4 mm"
combinations = ["service"]
[[limit]]
stress = "120 MPa"
combinations = ["strength"]
"""


def _both(key: str, low: float, high: float) -> tuple[str, float, float]:
    """A dimension that both ends of the arm share."""
    return f"section.root.shape.1.{key}, section.tip.shape.1.{key}", low, high


def _thickness(name: str, low: float = 5.0, high: float = 25.0) -> tuple[str, float, float]:
    return f"quantity.{name}", low, high


PLATE_PROBLEMS = (
    Problem(
        "girder of unequal flanges, five ranges",
        GIRDER,
        (("quantity.depth", 200.0, 700.0), ("quantity.b_top", 100.0, 400.0), _thickness("t_foot"),
         _thickness("web", 5, 20), _thickness("t_top")),
        girder_member(length=8, seat=60, load=8, twist=1.5, ratio=350, more=KEPT),
        nodes=3,
        finest=1.06,
        finer=0.06,
        held=True,
    ),
    Problem(
        "two cells, five thicknesses",
        TWO_CELLS,
        (_thickness("foot"), _thickness("left"), _thickness("middle", 4), _thickness("right"),
         _thickness("top")),
        WALKWAY,
        nodes=3,
        finest=1.06,
        finer=0.06,
        held=True,
    ),
    Problem(
        "box curved in plan, twist, stress and frequency",
        BOX,
        (("quantity.depth", 150.0, 600.0), ("quantity.width", 150.0, 600.0), _thickness("web", 4),
         _thickness("flange")),
        CURVED,
        nodes=4,
        finest=1.04,
        finer=0.1,
        held=True,
    ),
    Problem(
        "edge beam with stone cladding, four ranges",
        BOX,
        (("quantity.depth", 100.0, 300.0), ("quantity.width", 100.0, 200.0), _thickness("web", 4),
         _thickness("flange")),
        STONE,
        nodes=5,
        finest=1.04,
        finer=0.2,
        held=True,
    ),
    Problem(
        "tapered arm, four ranges",
        "",
        (("section.root.shape.1.OverallDepth", 250.0, 450.0),
         ("section.tip.shape.1.OverallDepth", 150.0, 250.0), _both("OverallWidth", 90.0, 220.0),
         _both("FlangeThickness", 6.0, 25.0)),
        ARM,
        nodes=4,
        finest=1.04,
        finer=0.1,
        held=True,
    ),
)  # fmt: skip
