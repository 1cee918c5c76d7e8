"""Members of the solver made from the cases that 3D elasticity has solved."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import shapely
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model import diaphragm, load
from soapfilm.solver.member.model.axis import Axis, Kink
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import Support, fixed, fork

from .elasticity.case import Case, LineLoad
from .elasticity.grid import Plate


def section_of(case: Case, z: float = 0.0, *, end: bool = False) -> Section:
    """The section of a case at z, as outlines with holes, diaphragms left out; the far one of a
    taper with `end`."""
    here = [
        plate
        for plate in case.plates
        if not _diaphragm(plate) and (plate.span is None or plate.span[0] <= z <= plate.span[1])
    ]
    regions = []
    for number, material in enumerate(case.materials):
        own = shapely.union_all([_rectangle(p, end) for p in here if p.material == number])
        over = shapely.union_all([_rectangle(p, end) for p in here if p.material > number])
        shape = own.difference(over).simplify(0)
        parts = shape.geoms if hasattr(shape, "geoms") else [shape]
        regions += [
            Region(
                _contour(part.exterior),
                tuple(_contour(ring) for ring in part.interiors),
                Material(material.name, material.modulus, material.poisson),
            )
            for part in parts
        ]
    return Section(tuple(regions), unit="mm", name=case.name)


def _contour(ring: shapely.LinearRing) -> Contour:
    """From the lowest corner on the left, so that outlines of a taper begin alike."""
    points = np.array(ring.coords)[:-1]
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turns = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]) > 1e-6
    corners = points[turns]
    start = np.lexsort((corners[:, 0], corners[:, 1]))[0]
    return Contour(np.roll(corners, -start, axis=0))


def _rectangle(plate: Plate, end: bool) -> shapely.Polygon:
    x, y = plate.x, plate.y
    if end:
        x, y = plate.x_end or x, plate.y_end or y
    return shapely.box(x[0], y[0], x[1], y[1])


def _diaphragm(plate: Plate) -> bool:
    """A plate across the member, thin along it."""
    return plate.span is not None and np.ptp(plate.span) < 0.1 * min(
        np.ptp(plate.x), np.ptp(plate.y)
    )


def member_of(case: Case, segments: tuple[Segment, ...]) -> Member:
    """Supports, diaphragms and loads of a case."""
    supports, diaphragms = [], []
    for station in case.stations:
        if station.kind == "fixed":
            supports.append(fixed(station.z))
        elif station.kind == "in-plane held":
            supports.append(fork(station.z))
        else:
            diaphragms.append(diaphragm.Diaphragm(station.z))
            if station.held:
                held = dict.fromkeys((motion for _, _, motion in station.held), "held")
                x, y, _ = station.held[0]
                supports.append(Support(station.z, point=(x, y), **held))
    for plate in case.plates:
        if _diaphragm(plate):
            a, b = plate.span
            material = case.materials[plate.material]
            own = diaphragm.DiaphragmPlate(b - a, material.modulus, material.poisson)
            diaphragms.append(diaphragm.Diaphragm((a + b) / 2, own))
    loads = [
        load.LineLoad(
            item.start, item.end, item.force, place=(item.x, item.y), measured_along="line"
        )
        if isinstance(item, LineLoad)
        else load.PointLoad(item.z, moment=(0.0, 0.0, item.torque))
        for item in case.loads
    ]
    # The solver's radius is positive with the centre on the side of +x.
    axis = Axis.arc(case.length, -case.radius) if case.radius else Axis.straight(case.length)
    if case.kink is not None:  # its angle counts as curvature does
        axis = Axis(axis.pieces, kinks=(Kink(case.kink[0], -case.kink[1]),))
    return Member(
        axis,
        segments,
        tuple(supports),
        loads=tuple(loads),
        diaphragms=tuple(diaphragms),
    )


def solution_of(case: Case, modes: int | None = None) -> DeformingSolution:
    """A case solved by the member whose sections deform."""
    return solved_case(case, modes)[0]


@cache
def solved_case(
    case: Case, modes: int | None = None
) -> tuple[DeformingSolution, dict[str, SolvedSection]]:
    """The same, with its sections by name."""
    spans = [plate.span for plate in case.plates if plate.span and not _diaphragm(plate)]
    tapers = any(plate.x_end or plate.y_end for plate in case.plates)
    start, end = case.taper or (0.0, case.length)
    ends = (start, end) if tapers else ()
    cuts = sorted({0.0, case.length, *ends, *(z for span in spans for z in span)})
    known: dict[str, SolvedSection] = {}

    def solved(z: float, end: bool = False) -> SectionConstants:
        section = section_of(case, z, end=end)
        for name, one in known.items():
            if one.result is not None and repr(one.result.section.regions) == repr(section.regions):
                return known[name].constants
        name = f"section {len(known) + 1}"
        known[name] = solved_section(section, name, 1e-4)
        return known[name].constants

    segments = []
    for a, b in pairwise(cuts):
        middle = (a + b) / 2
        first = solved(middle, tapers and middle > end)
        tapered = tapers and start < middle < end
        segments.append(Segment(a, b, first, solved(middle, end=True) if tapered else None))
    member = member_of(case, tuple(segments))
    return solve_deforming(member, course_of(member, known, modes)), known
