"""The reference cases: invented members whose sections deform."""

from __future__ import annotations

from .case import STEEL, Case, EndTorque, LineLoad, Material, Station
from .grid import Plate

Point = tuple[float, float, float]


def box(width: float, depth: float, flange: float, web: float) -> tuple[Plate, ...]:
    """Four plates of a rectangular box by its outer sides, centred on the axis."""
    b, h = width / 2, depth / 2
    return (
        Plate((-b, b), (h - flange, h)),
        Plate((-b, b), (-h, flange - h)),
        Plate((-b, web - b), (-h, h)),
        Plate((b - web, b), (-h, h)),
    )


def corners(width: float, depth: float, *places: float) -> tuple[Point, ...]:
    """The four outer corners at each z."""
    b, h = width / 2, depth / 2
    return tuple((x, y, z) for z in places for y in (h, -h) for x in (-b, b))


def held_ends(length: float) -> tuple[Station, ...]:
    return (Station(0.0, "in-plane held"), Station(length, "in-plane held"))


def web_load(x: float, y: float, length: float, force: float) -> tuple[LineLoad, ...]:
    return (LineLoad(x, y, 0.0, length, (0.0, -force, 0.0)),)


STRAIGHT = Case(
    "straight-box",
    "box 2000 x 1000 x 20, 30 m, ends held in plane, 500 kN over one web at mid-span",
    box(2000, 1000, 20, 20),
    30_000.0,
    held_ends(30_000.0),
    (LineLoad(1000.0, 500.0, 14_750.0, 15_250.0, (0.0, -1000.0, 0.0)),),
    corners(2000, 1000, 15_000.0, 7_500.0),
    (
        (980.0, -400.0, 12_000.0),
        (1000.0, -400.0, 12_000.0),
        (-1000.0, -400.0, 12_000.0),
        (0.0, 500.0, 12_000.0),
        (1000.0, 0.0, 7_500.0),
        (500.0, -500.0, 13_500.0),
        (1000.0, 200.0, 13_500.0),
    ),
    corner=(7.0, 50.0),
    fine=125.0,
    breaks=(15_000.0,),
)

WIDE_DECK = Case(
    "wide-deck",
    "deck plate 4000 x 20 on a box 2000 wide, 12 m, 250 kN over each web at mid-span: shear lag",
    (
        Plate((-2000, 2000), (480, 500)),
        Plate((-1000, 1000), (-500, -480)),
        Plate((-1000, -980), (-500, 500)),
        Plate((980, 1000), (-500, 500)),
    ),
    12_000.0,
    held_ends(12_000.0),
    tuple(LineLoad(x, 500.0, 5_750.0, 6_250.0, (0.0, -500.0, 0.0)) for x in (-1000.0, 1000.0)),
    (
        (0.0, 500.0, 6000.0),
        (2000.0, 500.0, 6000.0),
        (1000.0, -500.0, 6000.0),
        (0.0, -500.0, 6000.0),
        (0.0, 500.0, 3000.0),
        (2000.0, 500.0, 3000.0),
        (1000.0, -500.0, 3000.0),
    ),
    (
        (0.0, 500.0, 4500.0),
        (500.0, 500.0, 4500.0),
        (2000.0, 500.0, 4500.0),
        (0.0, -500.0, 4500.0),
        (0.0, 500.0, 5250.0),
        (500.0, 500.0, 5250.0),
        (2000.0, 500.0, 5250.0),
        (1500.0, 500.0, 4500.0),
        (1000.0, 0.0, 4500.0),
    ),
    corner=(50.0,),
    lines=((0.0,), ()),
    fine=125.0,
    coarse=1000.0,
    breaks=(6_000.0,),
)

_TALL = box(2000, 1500, 20, 12)
_TALL_POINTS = (*corners(2000, 1500, 15_000.0, 7_500.0), (0.0, 750.0, 15_000.0))
_TALL_STRESSES = (
    (988.0, -600.0, 12_500.0),
    (1000.0, -600.0, 12_500.0),
    (-1000.0, -600.0, 12_500.0),
    (500.0, -750.0, 12_500.0),
    (-500.0, 750.0, 12_500.0),
    (1000.0, 0.0, 2_500.0),
    (0.0, -750.0, 12_500.0),
)

TALL = Case(
    "tall-box",
    "box 2000 x 1500 (flanges 20, webs 12), 30 m, 30 kN/m over one web, end diaphragms only",
    _TALL,
    30_000.0,
    held_ends(30_000.0),
    web_load(1000.0, 750.0, 30_000.0, 30.0),
    _TALL_POINTS,
    _TALL_STRESSES,
    corner=(6.0, 40.0),
)

_FIFTHS = tuple(5_000.0 * k for k in range(1, 6))

TALL_RIGID = Case(
    "tall-box-rigid-diaphragms",
    "the same with diaphragms every 5 m, rigid in their plane and free to warp",
    _TALL,
    30_000.0,
    (*held_ends(30_000.0), *(Station(z, "rigid") for z in _FIFTHS)),
    web_load(1000.0, 750.0, 30_000.0, 30.0),
    _TALL_POINTS,
    _TALL_STRESSES,
    corner=(6.0, 40.0),
)

TALL_PLATES = Case(
    "tall-box-plate-diaphragms",
    "the same with plates of 15 mm every 5 m, joined to the walls all round",
    (
        *_TALL,
        *(Plate((-988, 988), (-730, 730), span=(z - 7.5, z + 7.5)) for z in _FIFTHS),
    ),
    30_000.0,
    held_ends(30_000.0),
    web_load(1000.0, 750.0, 30_000.0, 30.0),
    _TALL_POINTS,
    _TALL_STRESSES,
    corner=(6.0, 40.0),
)

CURVED = Case(
    "curved-box-outer",
    "box 2000 x 1500 (flanges 20, webs 12), R = 80 m, 40 m, 30 kN/m over the outer web",
    _TALL,
    40_000.0,
    held_ends(40_000.0),
    web_load(1000.0, 750.0, 40_000.0, 30.0),
    (*corners(2000, 1500, 20_000.0, 10_000.0), (0.0, 750.0, 20_000.0)),
    (
        (988.0, -600.0, 15_000.0),
        (1000.0, -600.0, 15_000.0),
        (-1000.0, -600.0, 15_000.0),
        (500.0, -750.0, 15_000.0),
        (-500.0, 750.0, 15_000.0),
        (1000.0, 0.0, 5_000.0),
        (0.0, -750.0, 20_000.0),
    ),
    radius=80_000.0,
    corner=(6.0, 40.0),
)

CURVED_INNER = Case(
    "curved-box-inner",
    "box 2000 x 1000 x 20, R = 50 m to the other side, 25 m, 30 kN/m over the inner web",
    box(2000, 1000, 20, 20),
    25_000.0,
    held_ends(25_000.0),
    web_load(1000.0, 500.0, 25_000.0, 30.0),
    (*corners(2000, 1000, 12_500.0, 6_250.0), (0.0, 500.0, 12_500.0)),
    (
        (980.0, -400.0, 10_000.0),
        (1000.0, -400.0, 10_000.0),
        (-1000.0, -400.0, 10_000.0),
        (500.0, -500.0, 10_000.0),
        (-500.0, 500.0, 10_000.0),
        (-1000.0, 0.0, 3_000.0),
        (0.0, -500.0, 12_500.0),
    ),
    radius=-50_000.0,
    corner=(7.0, 50.0),
)


def tapered_i(narrow: float) -> tuple[Plate, ...]:
    """I 500 deep at the start and 200 at the end, flanges 150 wide there and `narrow` here."""
    x, far = (-75.0, 75.0), (-narrow / 2, narrow / 2)
    return (
        Plate(x, (238, 250), x_end=far, y_end=(88, 100)),
        Plate(x, (-250, -238), x_end=far, y_end=(-100, -88)),
        Plate((-4, 4), (-238, 238), y_end=(-88, 88)),
    )


def cantilever(length: float) -> tuple[Station, ...]:
    """Fixed at the start, the section of the end held in shape."""
    return (Station(0.0, "fixed"), Station(length, "rigid"))


TAPERED = Case(
    "tapered-web",
    "I tapered from 500 to 200 deep (flanges 150 x 12, web 8), 3 m, fixed, tip torque 1 kN m",
    tapered_i(150.0),
    3000.0,
    cantilever(3000.0),
    (EndTorque(3000.0, 1e6),),
    (
        (75.0, 100.0, 3000.0),
        (75.0, -100.0, 3000.0),
        (75.0, 175.0, 1500.0),
        (-75.0, 175.0, 1500.0),
        (0.0, 175.0, 1500.0),
        (75.0, 137.5, 2250.0),
    ),
    (
        (40.0, 220.0, 600.0),
        (40.0, 175.0, 1500.0),
        (-40.0, 175.0, 1500.0),
        (40.0, 137.5, 2250.0),
        (4.0, 0.0, 1500.0),
    ),
    corner=(4.0, 14.0, 28.0),
    thin=15.0,
    fine=50.0,
    coarse=400.0,
)

TAPERED_BOTH = Case(
    "tapered-web-and-flanges",
    "the same I, its flanges from 150 to 80 wide: both plates taper",
    tapered_i(80.0),
    3000.0,
    cantilever(3000.0),
    (EndTorque(3000.0, 1e6),),
    (
        (40.0, 100.0, 3000.0),
        (40.0, -100.0, 3000.0),
        (57.5, 175.0, 1500.0),
        (-57.5, 175.0, 1500.0),
        (0.0, 175.0, 1500.0),
    ),
    (
        (30.0, 220.0, 600.0),
        (30.0, 175.0, 1500.0),
        (-30.0, 175.0, 1500.0),
        (4.0, 0.0, 1500.0),
    ),
    corner=(4.0, 14.0, 28.0),
    thin=15.0,
    fine=50.0,
    coarse=400.0,
)

_COVER = tuple(
    Plate(x, y, span=(2500.0, 4000.0), y_end=end)
    for x in ((-110.0, -75.0), (75.0, 110.0))
    for y, end in (((238.0, 250.0), (138.0, 150.0)), ((-250.0, -238.0), (-150.0, -138.0)))
)

HAUNCHED = Case(
    "haunched-and-stepped",
    "I 500 deep for 1 m, tapered to 300 in 1.5 m, then with flanges 220 wide instead of 150, 1.5 m;"
    " fixed, tip torque 1 kN m and 10 kN down on its top beside its middle, on its last half metre",
    (
        Plate((-75, 75), (238, 250), y_end=(138, 150)),
        Plate((-75, 75), (-250, -238), y_end=(-150, -138)),
        Plate((-4, 4), (-238, 238), y_end=(-138, 138)),
        *_COVER,
    ),
    4000.0,
    cantilever(4000.0),
    (EndTorque(4000.0, 1e6), LineLoad(4.0, 250.0, 3500.0, 4000.0, (0.0, -20.0, 0.0))),
    (
        (110.0, 150.0, 4000.0),
        (110.0, -150.0, 4000.0),
        (110.0, 150.0, 3250.0),
        (75.0, 150.0, 2500.0),
        (75.0, 200.0, 1750.0),
        (-75.0, 200.0, 1750.0),
        (75.0, 250.0, 1000.0),
    ),
    (
        (40.0, 250.0, 750.0),
        (40.0, 200.0, 1750.0),
        (-40.0, 200.0, 1750.0),
        (4.0, 50.0, 1750.0),
        (40.0, 150.0, 3100.0),
        (-40.0, 150.0, 3100.0),
        (90.0, 150.0, 3100.0),
        (90.0, -150.0, 3100.0),
        (4.0, 50.0, 3100.0),
    ),
    corner=(6.0,),
    thin=15.0,
    fine=50.0,
    coarse=400.0,
    taper=(1000.0, 2500.0),
)

HOLLOW = Case(
    "hollow-fixed",
    "hollow section 200 x 300 x 12, sharp corners, 3 m, fixed, tip torque 20 kN m: root stresses",
    box(200, 300, 12, 12),
    3000.0,
    cantilever(3000.0),
    (EndTorque(3000.0, 20e6),),
    (
        (100.0, 150.0, 3000.0),
        (100.0, 150.0, 1500.0),
        (100.0, -150.0, 1500.0),
        (100.0, 150.0, 300.0),
    ),
    tuple((100.0, y, z) for z in (30.0, 60.0, 120.0, 240.0, 480.0, 1500.0) for y in (0.0, 100.0))
    + tuple((50.0, 150.0, z) for z in (30.0, 60.0, 120.0, 240.0, 480.0)),
    corner=(4.0, 30.0),
    thin=15.0,
    fine=15.0,
    coarse=240.0,
)

SLOTTED = Case(
    "slotted-tube",
    "square tube 100 x 100 x 5, 3 m, fixed, slot of 10 mm in its middle metre, tip torque 1 kN m",
    (
        Plate((-50, 50), (-50, -45)),
        Plate((-50, -45), (-50, 50)),
        Plate((45, 50), (-50, 50)),
        Plate((-50, -5), (45, 50)),
        Plate((5, 50), (45, 50)),
        Plate((-50, 50), (45, 50), span=(0.0, 1000.0)),
        Plate((-50, 50), (45, 50), span=(2000.0, 3000.0)),
    ),
    3000.0,
    cantilever(3000.0),
    (EndTorque(3000.0, 1e6),),
    (
        (50.0, -50.0, 3000.0),
        (-50.0, -50.0, 3000.0),
        (50.0, 50.0, 2000.0),
        (50.0, 50.0, 1000.0),
        (5.0, 50.0, 1500.0),
        (-5.0, 50.0, 1500.0),
    ),
    (
        (5.0, 50.0, 1250.0),
        (-5.0, 50.0, 1250.0),
        (5.0, 50.0, 1600.0),
        (50.0, -20.0, 1250.0),
        (50.0, 0.0, 500.0),
        (0.0, -50.0, 1500.0),
        (0.0, 50.0, 2500.0),
    ),
    materials=(Material("steel", 210_000.0, 210 / 162 - 1),),
    corner=(6.0,),
    thin=6.0,
    fine=10.0,
    coarse=300.0,
    breaks=(1500.0,),
)

CHANNEL = Case(
    "channel-through-web",
    "channel 300 x 100 (web 8, flanges 12), 3 m, fixed, 10 kN down the back of its web at the tip",
    (
        Plate((0, 8), (-150, 150)),
        Plate((0, 100), (138, 150)),
        Plate((0, 100), (-150, -138)),
    ),
    3000.0,
    (Station(0.0, "fixed"),),
    (LineLoad(0.0, 150.0, 2800.0, 3000.0, (0.0, -50.0, 0.0)),),
    (
        (100.0, 150.0, 3000.0),
        (100.0, -150.0, 3000.0),
        (0.0, -150.0, 3000.0),
        (0.0, 150.0, 1500.0),
        (100.0, -150.0, 1500.0),
        (100.0, 150.0, 1500.0),
    ),
    (
        (90.0, 150.0, 500.0),
        (50.0, 150.0, 500.0),
        (90.0, -150.0, 500.0),
        (90.0, 150.0, 1500.0),
        (50.0, -150.0, 1500.0),
        (0.0, 0.0, 1500.0),
        (8.0, 0.0, 1500.0),
    ),
    corner=(4.0, 30.0),
    thin=15.0,
    fine=25.0,
    coarse=250.0,
)

GIRDER = Case(
    "plate-girder-flange-tip",
    "I 1240 deep (web 1200 x 8, flanges 300 x 20), 12 m, fork ends, 5 kN/m on the tip of a flange",
    (
        Plate((-150, 150), (600, 620)),
        Plate((-150, 150), (-620, -600)),
        Plate((-4, 4), (-600, 600)),
    ),
    12_000.0,
    held_ends(12_000.0),
    web_load(150.0, 620.0, 12_000.0, 5.0),
    (
        (0.0, 600.0, 6000.0),
        (-150.0, 620.0, 6000.0),
        (150.0, -620.0, 6000.0),
        (-150.0, -620.0, 6000.0),
        (4.0, 0.0, 6000.0),
        (-150.0, 620.0, 3000.0),
        (150.0, -620.0, 3000.0),
    ),
    (
        (4.0, 400.0, 6000.0),
        (-4.0, 400.0, 6000.0),
        (4.0, 0.0, 6000.0),
        (4.0, 400.0, 3000.0),
        (-100.0, 620.0, 6000.0),
        (100.0, -620.0, 6000.0),
        (-100.0, -620.0, 6000.0),
        (4.0, 0.0, 1500.0),
    ),
    corner=(6.0, 40.0),
    fine=100.0,
    coarse=1000.0,
)

TWO_CELL = Case(
    "two-cell-box",
    "two cells 3000 x 1200 (flanges 16, webs 12), middle web at x = -400, 24 m, 20 kN/m at a side",
    (*box(3000, 1200, 16, 12), Plate((-406, -394), (-600, 600))),
    24_000.0,
    held_ends(24_000.0),
    web_load(1500.0, 600.0, 24_000.0, 20.0),
    (*corners(3000, 1200, 12_000.0, 6_000.0), (-400.0, -600.0, 12_000.0), (500.0, 600.0, 12_000.0)),
    (
        (1500.0, -500.0, 10_000.0),
        (1488.0, -500.0, 10_000.0),
        (-1500.0, -500.0, 10_000.0),
        (-394.0, 0.0, 6_000.0),
        (500.0, -600.0, 10_000.0),
        (-900.0, 600.0, 10_000.0),
    ),
    corner=(40.0,),
    lines=((-406.0 + 6.0,), ()),
)

COMPOSITE = Case(
    "concrete-on-steel",
    "slab 2500 x 200 bonded to a steel U 1200 wide, 1000 deep, 15 m, 15 kN/m on the slab's edge",
    (
        Plate((-600, 600), (-1000, -985)),
        Plate((-600, -590), (-1000, 0)),
        Plate((590, 600), (-1000, 0)),
        Plate((-700, -500), (-15, 0)),
        Plate((500, 700), (-15, 0)),
        Plate((-1250, 1250), (0, 200), material=1),
    ),
    15_000.0,
    held_ends(15_000.0),
    web_load(1250.0, 200.0, 15_000.0, 15.0),
    (
        (-1250.0, 200.0, 7500.0),
        (0.0, 200.0, 7500.0),
        (600.0, -1000.0, 7500.0),
        (-600.0, -1000.0, 7500.0),
        (600.0, -1000.0, 3750.0),
        (-600.0, -1000.0, 3750.0),
    ),
    (
        (600.0, -500.0, 6000.0),
        (590.0, -500.0, 6000.0),
        (-600.0, -500.0, 6000.0),
        (0.0, -1000.0, 6000.0),
        (0.0, 200.0, 6000.0),
        (-1000.0, 200.0, 6000.0),
        (0.0, 0.0, 6000.0),
    ),
    materials=(STEEL, Material("concrete", 34_000.0, 0.2)),
    lines=((-608.0, -582.0, 0.0, 582.0, 608.0), (-979.0, -500.0, -21.0, 20.0)),
    thin=20.0,
    fine=400.0,
    coarse=2500.0,
)

STEPPED = Case(
    "stepped-i",
    "I 600 deep, 750 in its middle third (flanges 200 x 15, web 10), 9 m, load beside its web",
    (
        Plate((-100, 100), (285, 300)),
        Plate((-5, 5), (-300, 300)),
        Plate((-100, 100), (-300, -285), span=(0.0, 3000.0)),
        Plate((-5, 5), (-450, -300), span=(3000.0, 6000.0)),
        Plate((-100, 100), (-450, -435), span=(3000.0, 6000.0)),
        Plate((-100, 100), (-300, -285), span=(6000.0, 9000.0)),
    ),
    9000.0,
    held_ends(9000.0),
    web_load(100.0, 300.0, 9000.0, 5.0),
    (
        (-100.0, 300.0, 4500.0),
        (100.0, -450.0, 4500.0),
        (-100.0, -450.0, 4500.0),
        (-100.0, 300.0, 2000.0),
        (100.0, -300.0, 2000.0),
        (-100.0, -300.0, 2000.0),
    ),
    (
        (-80.0, 300.0, 4500.0),
        (80.0, -450.0, 4500.0),
        (-80.0, -450.0, 4500.0),
        (80.0, -300.0, 2000.0),
        (-80.0, 300.0, 2000.0),
        (5.0, 0.0, 2000.0),
    ),
    corner=(16.0, 38.0),
    thin=10.5,
    fine=60.0,
    coarse=800.0,
    order=3,
)

ZED = Case(
    "zed-cantilever",
    "Z 200 deep (flanges 80, all 8 thick), 2.5 m, fixed, 4 kN down its web's corner at the tip",
    (
        Plate((-4, 4), (-100, 100)),
        Plate((-4, 80), (92, 100)),
        Plate((-80, 4), (-100, -92)),
    ),
    2500.0,
    (Station(0.0, "fixed"),),
    (LineLoad(-4.0, 100.0, 2400.0, 2500.0, (0.0, -40.0, 0.0)),),
    (
        (80.0, 100.0, 2500.0),
        (-80.0, -100.0, 2500.0),
        (4.0, -100.0, 2500.0),
        (80.0, 100.0, 1250.0),
        (-80.0, -100.0, 1250.0),
    ),
    (
        (70.0, 100.0, 400.0),
        (30.0, 100.0, 400.0),
        (-70.0, -100.0, 400.0),
        (70.0, 100.0, 1250.0),
        (4.0, 0.0, 1250.0),
        (-4.0, 0.0, 1250.0),
    ),
    corner=(3.0, 20.0),
    thin=10.0,
    fine=20.0,
    coarse=200.0,
)

ANGLE = Case(
    "angle-cantilever",
    "L 150 x 100 x 10, 2 m, fixed, 2 kN down the tip of its short leg at the end",
    (Plate((0, 10), (0, 150)), Plate((0, 100), (0, 10))),
    2000.0,
    (Station(0.0, "fixed"),),
    (LineLoad(100.0, 10.0, 1900.0, 2000.0, (0.0, -20.0, 0.0)),),
    (
        (0.0, 0.0, 2000.0),
        (0.0, 150.0, 2000.0),
        (100.0, 0.0, 1000.0),
        (0.0, 150.0, 1000.0),
        (0.0, 0.0, 1000.0),
    ),
    (
        (0.0, 130.0, 400.0),
        (0.0, 50.0, 400.0),
        (80.0, 0.0, 400.0),
        (0.0, 130.0, 1000.0),
        (10.0, 75.0, 1000.0),
    ),
    corner=(4.0, 25.0),
    thin=12.0,
    fine=20.0,
    coarse=200.0,
)

_ALL_HELD = tuple((0.0, -500.0, motion) for motion in ("x", "y", "twist"))

THREE_SPANS = Case(
    "three-span-box",
    "box 1500 x 1000 x 16, spans 15, 20 and 15 m, single bearings inside, 25 kN/m over one web",
    box(1500, 1000, 16, 16),
    50_000.0,
    (
        Station(0.0, "rigid", _ALL_HELD),
        Station(15_000.0, "rigid", ((0.0, -500.0, "y"),)),
        Station(35_000.0, "rigid", ((0.0, -500.0, "y"),)),
        Station(50_000.0, "rigid", _ALL_HELD),
    ),
    web_load(750.0, 500.0, 50_000.0, 25.0),
    (
        *corners(1500, 1000, 25_000.0, 7_000.0),
        (-750.0, -500.0, 15_000.0),
        (750.0, -500.0, 15_000.0),
    ),
    (
        (750.0, -400.0, 25_000.0),
        (734.0, -400.0, 25_000.0),
        (-750.0, -400.0, 25_000.0),
        (300.0, -500.0, 25_000.0),
        (300.0, 500.0, 7_000.0),
        (750.0, 0.0, 12_000.0),
        (300.0, 500.0, 14_000.0),
    ),
    corner=(40.0,),
    breaks=(25_000.0,),
)

CASES = (
    STRAIGHT,
    WIDE_DECK,
    TALL,
    TALL_RIGID,
    TALL_PLATES,
    CURVED,
    CURVED_INNER,
    TAPERED,
    TAPERED_BOTH,
    HAUNCHED,
    HOLLOW,
    SLOTTED,
    CHANNEL,
    GIRDER,
    TWO_CELL,
    COMPOSITE,
    STEPPED,
    ZED,
    ANGLE,
    THREE_SPANS,
)
