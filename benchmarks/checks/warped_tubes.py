"""Warping of closed tubes whose shape ribs hold, beside Umansky's, Benscoter's and four-boom
theories."""

from __future__ import annotations

from functools import cache

import numpy as np
import shapely
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.support import Support, fixed
from soapfilm.solver.section.solve import solve_section

from .deforming_models import solved, tube
from .figure import Figure
from .registry import Found, Topic

CLOSED_TUBES = Topic(
    "Warping of tubes whose shape ribs hold",
    "Measured on walls' middle lines; J of walls of finite thickness is 1.2 % more. Benscoter "
    "takes the shear of restrained warping as one constant flow a wall, where the least energy "
    "makes it 10/13 as stiff in a 2 to 1 box (derived): the warping dies out over a length 16 % "
    "longer, and the bimoment that holds it is 7 % more.",
)

BREADTH, DEPTH, LENGTH = 400.0, 200.0, 2000.0


@cache
def ribbed_tube() -> DeformingSolution:
    """The tube, fixed, ribs every 50 mm, a torque of 10 kN m at its tip."""
    torque = PointLoad(LENGTH, moment=(0, 0, 1e7))
    ribs = np.linspace(50.0, LENGTH, 40)
    section = tube(BREADTH, DEPTH, 8.0, 8.0)
    return solved([section], LENGTH, [torque], diaphragms=ribs, supports=[fixed(0.0)])


@CLOSED_TUBES.check("um_const", within=0.06)
def constants_of_a_tube(_: Figure) -> Found:
    """Warping at the corners per rate of twist, along the flange from where it runs straight; C_w
    and J of the whole walls."""
    result = solve_section(tube(BREADTH, DEPTH, 8.0, 8.0), 1e-4)
    start, end = ribbed_tube().twist([925.0, 1025.0])[:, 0]
    omega = _corner_warping() / ((end - start) / 100.0)
    return Found.several([omega, result.warping_constant, result.torsion_constant])


def _corner_warping() -> float:
    """Half-way between two ribs, far from the fixed end."""
    near, far = ribbed_tube().displacement([(160, 100), (120, 100)], [975.0])[0, :, 2, 0]
    return float(abs(2 * near - far))


@CLOSED_TUBES.check("um_const_decay", within=(-0.15, -0.10))
def decay_of_a_tubes_warping(_: Figure) -> Found:
    """Of the bimoment from 100 to 300 mm off the fixed end."""
    near, far = ribbed_tube().resultants([100.0, 300.0]).B[:, 0]
    return Found.about(float(np.log(near / far)) / 200.0)


@CLOSED_TUBES.check("um_cantilever_rotation", within=(-0.02, 0.0))
def tip_of_a_tube(_: Figure) -> Found:
    """Mean rotation of the tip."""
    return Found.about(float(ribbed_tube().twist([LENGTH], side="left")[0, 0]))


@CLOSED_TUBES.check("um_cantilever_warping", within=0.04)
def warping_of_a_tube(_: Figure) -> Found:
    """At the corner, far from the fixed end, along the flange from where it runs straight."""
    return Found.about(_corner_warping())


@CLOSED_TUBES.check("um_cantilever_bimoment", within=(0.0, 0.09))
def bimoment_at_the_root_of_a_tube(_: Figure) -> Found:
    """The root's stress in the source is this times omega / C_w; in three dimensions the stress at
    the very corner of a fixed end has no bound."""
    return Found.about(abs(float(ribbed_tube().resultants([0.0]).B[0, 0])))


ALLOY = Material("aluminium alloy", 70_000.0, 70 / 54 - 1)


def boomed(
    plates: list[tuple[float, float, float, float]],
    booms: list[tuple[float, float, float, float]],
    name: str,
) -> Section:
    """Sheets (x0, y0, x1, y1) with booms (x, y, width, area), all of one piece of alloy."""
    parts = [shapely.box(*plate) for plate in plates]
    parts += [
        shapely.box(x - w / 2, y - a / w / 2, x + w / 2, y + a / w / 2) for x, y, w, a in booms
    ]
    whole = shapely.union_all(parts).simplify(0)
    rings = [Contour(np.array(r.coords)[:-1]) for r in (whole.exterior, *whole.interiors)]
    return Section((Region(rings[0], tuple(rings[1:]), ALLOY),), unit="mm", name=name)


@CLOSED_TUBES.check("um_both_fixed", within=(-0.03, 0.07))
def boom_loads(figure: Figure) -> Found:
    """Sheets carry direct stress here, so booms are smaller by the sixth of them that they stand
    for. At the quarter, and at the end as the stress runs on from the eighth and the quarter: the
    plane in which a thick boom is held disturbs it within its own size."""
    given = figure.inputs
    a, b, t, length, area = (given[k] for k in ("a", "b", "ta", "L", "boom_area"))
    own = area - (a + b) * t / 6
    sheets = [(-a / 2, y - t / 2, a / 2, y + t / 2) for y in (-b / 2, b / 2)]
    sheets += [(x - t / 2, -b / 2, x + t / 2, b / 2) for x in (-a / 2, a / 2)]
    booms = [(x, y, own**0.5, own) for x in (-a / 2, a / 2) for y in (-b / 2, b / 2)]
    end = Support(length, z="held", bend_x="held", bend_y="held", warping="held")
    solution = solved(
        [boomed(sheets, booms, "four booms")],
        length,
        [PointLoad(length, moment=(0, 0, given["T"]))],
        diaphragms=np.linspace(length / 30, length, 30),
        supports=[fixed(0.0), end],
    )
    stress = solution.stress([(a / 2, b / 2)], [length / 8, length / 4])[:, 0, 2, 0]
    # sinh k (L/2 - z): sinh 3 x / sinh 2 x from the eighth of k L, x
    ratio = stress[0] / stress[1]
    cosh = (ratio + (ratio**2 + 4) ** 0.5) / 4  # 4 cosh^2 - 1 = 2 ratio cosh
    x = np.arccosh(cosh)
    start = stress[1] * np.sinh(4 * x) / np.sinh(2 * x)
    return Found.several([float(start * area), float(stress[1] * area)])
