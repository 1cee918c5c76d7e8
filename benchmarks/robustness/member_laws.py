"""Laws that every member obeys whatever it looks like: superposition, frequencies that an image
shares and that a spring only raises, Euler's load."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from soapfilm.geometry.units import Units
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.critical.member_buckling import member_buckling
from soapfilm.solver.member.model.load import Combination, PointLoad
from soapfilm.solver.member.model.restraint import LateralSpring
from soapfilm.solver.member.vibration.analysis import vibration_of

from .member_case import ALL, Array, MemberCase, SolvedMember, solved
from .member_image import mirrored
from .member_rounding import rounding
from .trial import Trial

#: Combinations against their cases, relative to the largest movement of all; where sections deform,
#: or by what rounding of the nodes' forces moves each (see `member_rounding`), if that is more.
SUPERPOSED = 1e-9
#: A taper is cut where loads stand, and is a chain of prismatic pieces by the classical theory.
CUT_ELSEWHERE = 1e-4
#: Movements and frequencies on another mesh, relative.
ALIKE = 2e-3
#: Euler's load of slender bars, relative: they are 25 sizes long at least, and shear takes a share
#: of (pi r / L)^2 E / (k G) < 0.5 % of it.
EULER = 0.01
#: Of the second of two groups of loads, and of the first.
_FACTORS = (-0.7, 1.5)
#: Modes compared.
_MODES = 3


def hold_superposition(trial: Trial, found: SolvedMember, stated: float) -> None:
    """Loads in two cases: a combination is its cases' sum, and all together do what they did in one
    case, where sections that deform are given functions for other loads."""
    case = found.case
    if len(case.loads) + len(case.imposed) < 2:
        return
    trial.held.append("superposition")

    def group(k: int) -> str:
        return "even" if k % 2 == 0 else "odd"

    count = len(case.loads)
    parts = replace(
        case,
        loads=tuple(replace(one, case=group(k)) for k, one in enumerate(case.loads)),
        imposed=tuple(replace(one, case=group(count + k)) for k, one in enumerate(case.imposed)),
        forces=(),
        combinations=(
            Combination("even", {"even": 1.0}),
            Combination("odd", {"odd": 1.0}),
            Combination("both", {"even": _FACTORS[1], "odd": _FACTORS[0]}),
            Combination(ALL, {"even": 1.0, "odd": 1.0}),
        ),
    )
    other = solved(parts)
    for theory, moved, whole, within in (
        ("deforming", other.moved, found.moved(case.points), max(ALIKE, 2 * stated)),
        ("classical", other.shifted, found.shifted(case.points), CUT_ELSEWHERE),
    ):
        even, odd, both, together = (
            moved(case.points, name) for name in ("even", "odd", "both", ALL)
        )
        size = max(float(np.abs(v).max()) for v in (even, odd, whole))
        misses = (
            (both - _FACTORS[1] * even - _FACTORS[0] * odd, SUPERPOSED, _FACTORS),
            (together - even - odd, SUPERPOSED, (1.0, 1.0)),
            (together - whole, within, None),
        )
        for miss, share, factors in misses:
            off, least = float(np.abs(miss).max()), share * size
            if not off <= least and theory == "deforming" and factors:
                least = max(least, _rounded(other, "both" if factors is _FACTORS else ALL, factors))
            if not off <= least:
                trial.troubles.append(
                    f"{theory}: loads together move it otherwise by {off / size:.1e}"
                )


def _rounded(other: SolvedMember, name: str, factors: tuple[float, float]) -> float:
    """What rounding alone may part a combination by from its two cases times their factors."""
    own = rounding(other)
    odd, even, whole = (float(own[other.deforming.column(n)]) for n in ("odd", "even", name))
    return whole + abs(factors[0]) * odd + abs(factors[1]) * even


def frequencies(found: SolvedMember) -> Array:
    """The lowest, in hertz."""
    unit = found.case.sections[0].unit
    assert unit is not None
    return vibration_of(
        found.deforming.member,
        found.sections,
        Units(unit),
        modes=_MODES,
        judged=False,
    ).frequencies


def hold_frequencies(trial: Trial, found: SolvedMember) -> None:
    """Those of the mirror image; and none falls where a spring is added (Rayleigh)."""
    trial.held.append("frequencies")
    case = found.case
    own = frequencies(found)
    image = frequencies(solved(mirrored(case).case))
    off = float(np.abs(image / own - 1).max())
    if not off <= ALIKE:
        trial.troubles.append(f"mirrored, frequencies are others by {off:.1e}: {own}, {image}")
    soft = 0.05 * 210_000.0 * case.sections[0].size()
    spring = LateralSpring(0.45 * case.length, soft, level=case.points[0][1])
    sprung = frequencies(solved(replace(case, restraints=(*case.restraints, spring))))
    if not (sprung >= own * (1 - ALIKE)).all():
        trial.troubles.append(f"with a spring, frequencies fall: {own}, {sprung}")


def hold_euler(trial: Trial, case: MemberCase, least: float) -> None:
    """A bar pressed along its centroid, between forks, under pi^2 E I / L^2 by either theory."""
    trial.held.append("Euler's load")
    force = np.pi**2 * least / case.length**2
    push = PointLoad(case.length, (0.0, 0.0, -force), (0.0, 0.0), case=ALL)
    pressed = solved(replace(case, loads=(push,), forces=(), known=()))
    beam = critical_loads(pressed.classical.mesh.member)[0].factor
    solid = member_buckling(pressed.deforming, pressed.sections).factors[0].factor
    for theory, factor in (("classical", beam), ("deforming", solid)):
        if not abs(factor - 1) <= EULER:
            trial.troubles.append(f"{theory}: it buckles at {factor:.5g} times Euler's load")
