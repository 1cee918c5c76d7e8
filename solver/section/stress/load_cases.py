"""Stress of a solved section under load cases: extremes, envelope, utilisation, and how far to
trust them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import InputError
from ....geometry.notebook_table import notebook_table
from ..mesh.section_mesh import Array
from ..result import SectionResult
from ..solve import solve_near
from ..torsion.peak import LEFT_OUT
from .actions import Actions
from .components import COMPONENTS
from .cut import CutFlow
from .equilibrium import equilibrium_residual
from .extremes import Extreme, Search
from .joint_flow import joint_flows, near_joints
from .unit_stress import UnitStress, unit_stress

Progress = Callable[[Iterable[Actions]], Iterable[Actions]]

#: The largest change between orders that stays, unless another is asked for, and how often the mesh
#: is refined.
PEAK_CHANGE, PEAK_ROUNDS = 5e-3, 4


@dataclass(frozen=True, slots=True, eq=False)
class CaseStress:
    """Extremes of one load case.

    Attributes
    ----------
    actions : Actions
    vector : (8,)
        Actions in the order of `actions.NAMES`, shear moved to the shear centre.
    extremes : tuple of Extreme
        One for each component and side.
    utilisation : float or None
        Largest factor * von Mises / strength over the regions; None when a strength is missing.
    """

    actions: Actions
    vector: Array
    extremes: tuple[Extreme, ...]
    utilisation: float | None

    def extreme(self, component: str, side: int = 1) -> Extreme:
        """The extreme of a component ("normal", "shear", ...), largest or smallest."""
        for e in self.extremes:
            if e.component == component and e.side == side:
                return e
        raise InputError(
            f"no extreme of {component!r} on side {side:+d}; known: {', '.join(COMPONENTS)}"
        )

    def counts(self, extreme: Extreme) -> bool:
        """Whether an extreme is more than what is left of a component that vanishes under the case:
        rounding, which the next order does not repeat."""
        largest = max(abs(e.value) for e in self.extremes)
        return abs(extreme.value) > 1e-9 * largest and extreme.change < 1


@dataclass(frozen=True, slots=True, eq=False)
class StressResult:
    """Stress of a section under its load cases.

    Attributes
    ----------
    result : SectionResult
    units : UnitStress
    cases : tuple of CaseStress
    envelope : tuple of (Extreme, case name)
        The governing value of each component and side.
    equilibrium_residual : float
        Largest relative miss of a resultant integrated back from its unit field.
    refusal : str
        What was left out of the shear extremes and why; empty when nothing was.
    factor : float
        Factor on stress in the utilisation.
    joints : tuple of CutFlow
        Flow of the unit actions through each joint of the section.
    """

    result: SectionResult
    units: UnitStress
    cases: tuple[CaseStress, ...]
    envelope: tuple[tuple[Extreme, str], ...]
    equilibrium_residual: float
    refusal: str
    factor: float

    def __repr__(self) -> str:
        rows = [f"StressResult({self.result.section.name!r}), {len(self.cases)} load cases"]
        rows += [f"  {words}: {value}" for words, _, value in self._greatest()[:6]]
        return "\n".join(rows)

    def _repr_html_(self) -> str:
        rows = [*self._greatest(), ("left out", "", self.refusal or "nothing")]
        return notebook_table(f"{self.result.section.name}: stresses", rows)

    def _greatest(self) -> list[tuple[str, str, str]]:
        """The greatest von Mises stress of each load case, in consistent units."""
        rows = []
        for case in self.cases:
            e = case.extreme("von Mises")
            used = "" if case.utilisation is None else f", {case.utilisation:.3g} of the strength"
            value = f"{e.value:.5g} at ({e.at[0]:.5g}, {e.at[1]:.5g}){used}"
            rows.append((case.actions.name, COMPONENTS["von Mises"].symbol, value))
        return rows

    joints: tuple[CutFlow, ...] = ()


def solve_stress(
    result: SectionResult,
    cases: Sequence[Actions],
    *,
    factor: float = 1.0,
    progress: Progress | None = None,
    settled: float = PEAK_CHANGE,
) -> StressResult:
    """Stress extremes of a section under load cases; unit fields are solved once.

    Parameters
    ----------
    result : SectionResult
    cases : sequence of Actions
    factor : float
        Multiplies the von Mises stress in the utilisation: a load or resistance factor of the
        user's choice.
    progress : callable, optional
        Wraps the iteration over the cases (a progress bar).
    settled : float
        Change between orders, by the case's largest stress, above which the mesh is refined at an
        extreme.
    """
    if not cases:
        raise InputError("no load case: give at least one action")
    if not 0 < factor < float("inf"):
        raise InputError(f"the factor on stress must be positive, got {factor}")
    result = near_joints(result)
    units, solved = _solve_cases(result, cases, factor, progress)
    for _ in range(PEAK_ROUNDS):
        unsure = _unsure(solved, settled)
        if not unsure:
            break
        result = solve_near(result, unsure)
        units, solved = _solve_cases(result, cases, factor, progress)
    return StressResult(
        result,
        units,
        tuple(solved),
        _envelope(solved),
        equilibrium_residual(units),
        _refusal(result),
        factor,
        joint_flows(units),
    )


def _solve_cases(
    result: SectionResult, cases: Sequence[Actions], factor: float, progress: Progress | None
) -> tuple[UnitStress, list[CaseStress]]:
    units = unit_stress(result)
    search = Search.over(units)
    solved = []
    for actions in progress(cases) if progress else cases:
        vector = actions.vector(result.shear_centre)
        units.check_vector(vector)
        solved.append(_solve_case(search, actions, vector, factor))
    return units, solved


def _unsure(cases: Sequence[CaseStress], settled: float) -> list[tuple[float, float]]:
    """Places of extremes that have not converged between orders: the mesh is refined there.

    Components far below the case's largest stress are left as they are.
    """
    places = []
    for case in cases:
        largest = max(abs(e.value) for e in case.extremes)
        for e in case.extremes:
            if e.change * abs(e.value) > settled * largest:
                places.append(e.at)
    return sorted(set(places))


def _solve_case(search: Search, actions: Actions, vector: Array, factor: float) -> CaseStress:
    extremes = tuple(
        search.extreme(vector, component, side)
        for component in COMPONENTS.values()
        for side in component.sides
    )
    return CaseStress(actions, vector, extremes, _utilisation(search, vector, factor))


def _utilisation(search: Search, vector: Array, factor: float) -> float | None:
    """Largest factor * von Mises / strength, region by region (each material has its own
    strength)."""
    regions = search.units.result.section.regions
    if any(r.material.strength is None for r in regions):
        return None
    mises = COMPONENTS["von Mises"]
    strength = np.array([r.material.strength for r in regions], dtype=float)
    if np.ptp(strength) == 0:
        return factor * search.extreme(vector, mises, 1).value / float(strength[0])
    by_triangle = 1 / strength[search.units.field.mesh.region]
    return factor * search.extreme(vector, mises, 1, by_triangle).value


def _envelope(cases: Sequence[CaseStress]) -> tuple[tuple[Extreme, str], ...]:
    out = []
    for k, first in enumerate(cases[0].extremes):
        governing = max(cases, key=lambda c: first.side * c.extremes[k].value)
        out.append((replace(governing.extremes[k]), governing.actions.name))
    return tuple(out)


def _refusal(result: SectionResult) -> str:
    if not result.corners:
        return ""
    unit = f" {result.unit}" if result.unit else ""
    places = "; ".join(
        f"{c.kind} at ({c.point[0]:.6g}, {c.point[1]:.6g}){unit}, radius "
        f"{LEFT_OUT * c.clearance:.3g}{unit}"
        for c in result.corners
    )
    return (
        f"shear is unbounded at sharp corners, so these regions are left out of its extremes: "
        f"{places}. "
        "Enter the real fillet radius to get the peak there."
    )
