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
from soapfilm.solver.member.deforming.course import Course, MemberPart, curved_parts
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model import diaphragm, load
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fixed, fork
from soapfilm.solver.section.deforming.reduction import reduced_section, reduced_sections
from soapfilm.solver.section.deforming.response import Acting, Force
from soapfilm.solver.section.deforming.taper import tapered_piece, tapered_sections

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


def member_of(case: Case, constants: SectionConstants) -> Member:
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
    return Member(
        axis,
        (Segment(0.0, case.length, constants),),
        tuple(supports),
        loads=tuple(loads),
        diaphragms=tuple(diaphragms),
    )


@cache
def solution_of(case: Case, modes: int = 6) -> DeformingSolution:
    """A case solved by the member whose sections deform."""
    section = section_of(case)
    member = member_of(case, solved_section(section, case.name, 1e-4).constants)
    return solve_deforming(member, _course(case, modes))


def _course(case: Case, modes: int) -> Course:
    section = section_of(case)
    acting = Acting(
        tuple(
            Force((item.x, item.y), direction, item.end - item.start)
            for item in case.loads
            if isinstance(item, LineLoad)
            for direction in (0, 1)
            if item.force[direction]
        ),
        curved=bool(case.radius),
        held=True,
    )
    if any(plate.x_end or plate.y_end for plate in case.plates):
        ends = tapered_sections([section, section_of(case, case.length, end=True)], modes=modes)
        piece = tapered_piece(*ends, case.length)
        return Course((MemberPart(0.0, case.length, ends[0], ends[0], tapered=piece.section),))
    spans = [plate.span for plate in case.plates if plate.span and not _diaphragm(plate)]
    if spans:
        cuts = sorted({0.0, case.length, *(z for span in spans for z in span)})
        parts = [section_of(case, (a + b) / 2) for a, b in pairwise(cuts)]
        outlines = [repr(part.regions) for part in parts]
        first = [outlines.index(outline) for outline in outlines]
        kept = sorted(set(first))
        made = reduced_sections([parts[k] for k in kept], modes=modes, acting=acting)
        own = [made[kept.index(k)] for k in first]
        return Course(
            tuple(MemberPart(a, b, r, r) for (a, b), r in zip(pairwise(cuts), own, strict=True))
        )
    reduced = reduced_section(section, modes=modes, acting=acting)
    if case.radius:
        return Course(tuple(curved_parts([(0.0, case.length, -1 / case.radius)], reduced, 0.0)))
    return Course((MemberPart(0.0, case.length, reduced, reduced),))
