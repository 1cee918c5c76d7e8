"""Members that something braces between their ends, for their critical loads in 3D: decks,
diaphragms, forks, loads above and below. Invented, steel, mm and N."""

from __future__ import annotations

from .buckling import BucklingCase, Spring, _z


def _i(h: float, b: float, flange: float, web: float) -> dict[str, tuple]:
    """Plates and lines of an I section of full depth h and width b about its middle."""
    y, w = h / 2, web / 2
    inner = [share * (y - flange) for share in (-1.0, -0.67, -0.33, 0.0, 0.33, 0.67, 1.0)]
    return {
        "plates": (
            ((-b / 2, b / 2), (y - flange, y)),
            ((-b / 2, b / 2), (-y, flange - y)),
            ((-w, w), (-y, y)),
        ),
        "x": (-b / 2, -b / 4, -w, 0.0, w, b / 4, b / 2),
        "y": (-y, *inner, y),
    }


def _sideways(y: float, start: float, end: float, stiffness: float) -> Spring:
    return ((0.0, y, 0, 1.0),), start, end, stiffness


def _turning(y: float, half: float, start: float, end: float, stiffness: float) -> Spring:
    """Against the turn of a flange of half a width, by the movement up of its edges."""
    share = 1 / (2 * half)
    return ((half, y, 1, share), (-half, y, 1, -share)), start, end, stiffness


def _slabs(stations: tuple[float, ...], thick: float) -> list[tuple[float, float]]:
    return [(z - thick / 2, z + thick / 2) for z in stations]


def _braced_girder() -> BucklingCase:
    """Plates of 12 mm fill the girder between its flanges at the thirds."""
    made = _i(800.0, 200.0, 12.0, 6.0)
    slabs = _slabs((2000.0, 4000.0), 12.0)
    more = tuple(
        (x, (-388.0, 388.0), along) for along in slabs for x in ((-100.0, -3.0), (3.0, 100.0))
    )
    return BucklingCase(
        "girder-diaphragms",
        "I 800 x 200 x 12 x 6, 6 m, uniform moment, 1 N/mm^2 at the top face, plates of 12 mm "
        "between the flanges at the thirds",
        (*made["plates"], *more), made["x"], made["y"],
        _z(6000.0, 18, *(z for slab in slabs for z in slab)), ends=(0.0, 1 / 400),
    )  # fmt: skip


def _tube(name: str, thick: float, bays: int, order: int) -> BucklingCase:
    """Walls of 3 mm, plates in the cell at half of its width. Thin ones leave the walls to turn
    over them, thick ones clamp them, which the solver leaves out."""
    outer, t, length = 300.0, 3.0, 150.0 * bays
    r, i = outer / 2, outer / 2 - t
    slabs = _slabs(tuple(150.0 * k for k in range(1, bays)), thick)
    lines = (-r, -i, -0.5 * i, 0.0, 0.5 * i, i, r)
    walls = (
        ((-r, r), (i, r)), ((-r, r), (-r, -i)), ((-r, -i), (-r, r)), ((i, r), (-r, r)),
    )  # fmt: skip
    return BucklingCase(
        name,
        f"square tube 300 x 3, {bays} times 150 mm, 1 N/mm^2 of compression, plates of "
        f"{thick:g} mm inside between them",
        (*walls, *(((-i, i), (-i, i), slab) for slab in slabs)), lines, lines,
        _z(length, 2 * bays, *(z for slab in slabs for z in slab)), ends=(1.0, 0.0),
        order=(order, order, order),
    )  # fmt: skip


CASES = (
    BucklingCase(
        "deck-on-top",
        "I 300 x 150 x 10.7 x 7.1, 6 m, load along its middle 4 m on the top flange, which a deck "
        "holds sideways by 0.05 N/mm per mm",
        **_i(300.0, 150.0, 10.7, 7.1), z=_z(6000.0, 18), line=(0.0, 150.0, 1000.0, 5000.0),
        springs=(_sideways(150.0, 0.0, 6000.0, 0.05),),
    ),
    BucklingCase(
        "deck-hogging",
        "I 600 x 200 x 12 x 6, 6 m, uniform moment, 1 N/mm^2 at the bottom face; a deck holds the "
        "top flange sideways by 10 N/mm per mm and against turning by 20 kN mm per mm",
        **_i(600.0, 200.0, 12.0, 6.0), z=_z(6000.0, 18), ends=(0.0, -1 / 300),
        springs=(
            _sideways(300.0, 0.0, 6000.0, 10.0), _turning(300.0, 100.0, 0.0, 6000.0, 20e3),
        ),
    ),
    BucklingCase(
        "spring-hogging",
        "the same girder and moment, a spring of 1 kN/mm against the pressed flange in the middle, "
        "over 100 mm",
        **_i(600.0, 200.0, 12.0, 6.0), z=_z(6000.0, 18, 2950.0, 3050.0), ends=(0.0, -1 / 300),
        springs=(_sideways(-300.0, 2950.0, 3050.0, 10.0),),
    ),
    _braced_girder(),
    _tube("tube-diaphragms", 1.0, 4, 4),
    _tube("tube-thick-diaphragms", 6.0, 8, 3),
    BucklingCase(
        "fork-below",
        "I 300 x 150 x 10.7 x 7.1, two spans of 4 m, load along the middle 2 m of the first under "
        "the bottom flange",
        **_i(300.0, 150.0, 10.7, 7.1), z=_z(8000.0, 24), line=(0.0, -150.0, 1000.0, 3000.0),
        forks=(4000.0,),
    ),
    BucklingCase(
        "fork-above",
        "the same, load on the top flange",
        **_i(300.0, 150.0, 10.7, 7.1), z=_z(8000.0, 24), line=(0.0, 150.0, 1000.0, 3000.0),
        forks=(4000.0,),
    ),
)  # fmt: skip
