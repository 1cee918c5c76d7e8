"""One case tried: solved, and held against everything known of it; or refused, and told why."""

from __future__ import annotations

import time
import traceback
from dataclasses import asdict, dataclass, field

import numpy as np
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.errors import SoapfilmError
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.section import Section
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.area.properties import area_properties, modulus_ratios, shear_ratios
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.solve import solve_fields
from soapfilm.solver.section.torsion.adaptive import refine_torsion
from soapfilm.solver.section.torsion.interval import TorsionField
from soapfilm.solver.section.torsion.warping import warping_properties

from .bounds import bounds, faceted
from .case import REFUSED, SOLVED, Case

#: The second solve: another place and size, a mesh finer by this, and a lower accuracy, so a lower
#: order.
SECOND_COARSENESS, SECOND_ACCURACY = 0.6, 1e-4
#: How far, of the section's size, the shear centres of two solves may lie apart, and how far the
#: warping constants, of A size^4, when each says that it moves by less.
CENTRE, WARPING = 1e-4, 1e-7
#: Outlines with more vertices than this have meshes that are fine enough, and their offsets take
#: longer than the solve.
MOST_VERTICES = 1500
#: Outcomes that are as they should be.
GOOD = ("solved", "refused")


@dataclass(slots=True)
class Trial:
    """What became of a case.

    Attributes
    ----------
    name : str
    outcome : str
        "solved" and "refused" as they should be; "wrong" (solved against what is known), "rejected"
        (refused though valid), "accepted" (solved though no section), "crashed", "late".
    seconds : float
        Processor time of the first solve, all properties.
    width : float or None
        Relative width of J's interval; `met` tells whether it is what was asked.
    held : list of str
        What the result was held against.
    troubles : list of str
        Where it failed, or the error's message.
    """

    name: str
    outcome: str = "solved"
    seconds: float = 0.0
    width: float | None = None
    met: bool = True
    held: list[str] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)

    @property
    def good(self) -> bool:
        """Whether it is as it should be."""
        return self.outcome in GOOD

    def record(self) -> dict:
        """For a line of JSON."""
        return asdict(self)


def tried(name: str, case: Case, seed: int = 1) -> Trial:
    """Solve a case and hold the result against what is known."""
    trial = Trial(name)
    begin = time.process_time()
    try:
        try:
            result = solve_section(case.section)
        finally:
            trial.seconds = time.process_time() - begin
        trial.width, trial.met = result.solver.reached, result.solver.met
        _hold(trial, case, result, np.random.default_rng(seed))
        if case.expect == REFUSED:
            trial.outcome = "accepted"
        elif trial.troubles:
            trial.outcome = "wrong"
    except SoapfilmError as error:
        message = str(error)
        trial.troubles.append(message)
        plain = message.isprintable() and 20 < len(message) < 400
        trial.outcome = "refused" if case.expect != SOLVED and plain else "rejected"
    except Exception:  # any other error is what the campaign looks for
        trial.outcome = "crashed"
        trial.troubles.append(" | ".join(traceback.format_exc().strip().splitlines()[-4:]))
    return trial


def _hold(trial: Trial, case: Case, result: SectionResult, rng: np.random.Generator) -> None:
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    if not 0 < lower <= upper < np.inf:
        trial.troubles.append(f"no interval: {lower} to {upper}")
        return
    if case.known is not None:
        trial.held.append(
            "closed form" if case.known[1] < 1.0001 * case.known[0] else "known shapes"
        )
        if not (lower <= case.known[1] and case.known[0] <= upper):
            trial.troubles.append(
                f"J in {lower:.12g} to {upper:.12g} and not in {case.known[0]:.12g} to "
                f"{case.known[1]:.12g}"
            )
    vertices = sum(len(c) for c in case.section.contours())
    if len(case.section.regions) == 1 and not case.section.slits and vertices <= MOST_VERTICES:
        _hold_bounds(trial, result)
    if case.more is not None:
        trial.held.append("material added")
        more = solve_fields(case.more, SECOND_ACCURACY).upper
        if not lower <= more:
            trial.troubles.append(f"J {lower:.9g} falls to {more:.9g} with material added")
    trial.held.append("second solve")
    _hold_second(trial, result, rng)


def _hold_bounds(trial: Trial, result: SectionResult) -> None:
    """Inequalities by areas and offsets, and the area itself."""
    (region,) = result.section.regions
    trial.held.append("inequalities")
    limits = bounds(region)
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    if not limits.lower <= upper:
        trial.troubles.append(f"J {upper:.9g} is below the sand heap's {limits.lower:.9g}")
    if not lower <= limits.upper:
        trial.troubles.append(f"J {lower:.9g} is above {limits.upper:.9g} by {limits.by}")
    modulus, torque = result.torsion_modulus.value, result.plastic_torque.value
    if modulus is not None and torque is not None and not torque >= 0.995 * modulus:
        trial.troubles.append(f"fully plastic torque {torque:.6g} below first yield {modulus:.6g}")
    area = faceted(region).area
    if not abs(result.area - area) <= 1e-3 * area:
        trial.troubles.append(f"the area {result.area:.9g} is not {area:.9g}")


def _hold_second(trial: Trial, result: SectionResult, rng: np.random.Generator) -> None:
    """The section turned, mirrored, moved and scaled, on another mesh with another order."""
    section = result.section
    size = section.size()
    centre = np.array(section.bounds()).reshape(2, 2).mean(axis=0)
    factor = float(np.exp(rng.uniform(-1, 1)))
    placement = (
        Placement.move(*-centre)
        .then(Placement.mirror(direction=rng.standard_normal(2)))
        .then(Placement.scale(factor))
        .then(Placement.move(*(rng.uniform(-1, 1, 2) * size)))
    )
    image = section.placed(placement)
    field = second_field(image)
    lower, upper = field.lower / factor**4, field.upper / factor**4
    slack = rounding(section) * result.torsion_constant
    one, other = result.torsion_constant_lower, result.torsion_constant_upper
    if not (lower - slack <= other and one <= upper + slack):
        trial.troubles.append(
            f"J in {one:.12g} to {other:.12g}, on a second mesh in {lower:.12g} to {upper:.12g}"
        )
    area = area_properties(image)
    first, second = (
        result.warping_properties,
        warping_properties(field, area, modulus_ratios(image)),
    )
    apart = float(np.hypot(*(placement.apply(first.shear_centre) - second.shear_centre))) / factor
    change = first.shear_centre_change + second.shear_centre_change / factor
    if not apart <= CENTRE * size + 3 * change:
        trial.troubles.append(
            f"the shear centres of two solves are {apart / size:.2g} sizes apart, "
            f"said to be known to {change / size:.2g}"
        )
    apart = abs(first.warping_constant - second.warping_constant / factor**6)
    change = first.warping_constant_change + second.warping_constant_change / factor**6
    if not apart <= WARPING * result.area * size**4 + 1e-3 * first.warping_constant + 3 * change:
        trial.troubles.append(
            f"C_w {first.warping_constant:.6g} is {second.warping_constant / factor**6:.6g} on a "
            f"second mesh, said to be known to {change:.2g}"
        )


def second_field(section: Section) -> TorsionField:
    """The fields on a finer mesh with a lower order."""
    plan = checked_map(section)
    coarseness = SECOND_COARSENESS if len(plan.nodes) <= MOST_VERTICES else 1.0
    return refine_torsion(
        triangulate(plan, coarseness=coarseness),
        area_properties(section).centroid,
        shear_ratios(section),
        SECOND_ACCURACY,
    )


def rounding(section: Section) -> float:
    """How much J can change, relative, when every coordinate is rounded anew: it goes with the
    third power of walls at most, and they may be as thin as the narrowest place."""
    reach = max(abs(v) for v in section.bounds()) + section.size()
    wall = sum(r.area() for r in section.regions) / sum(c.length() for c in section.contours())
    for region in section.regions:
        body = faceted(region)
        wall = min([wall, *(body.exterior.distance(hole) for hole in body.interiors)])
    return 3 * 8 * np.finfo(float).eps * reach / wall
