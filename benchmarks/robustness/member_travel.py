"""Influence lines and vehicles at random: every ordinate, extreme and worst place against the
member solved anew with the loads where they stand, by both theories."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.support_reaction import SupportReaction
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.influence.analysis import Influence, TravelLine, influence_of
from soapfilm.solver.member.influence.asked import AskedResult
from soapfilm.solver.member.influence.moving_load import MovingExtreme, vehicle_extremes
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.moving import Axle, Vehicle

from .member_arrangements import any_member
from .member_case import Array, MemberCase, axis_of, member_of, sections_of
from .member_families import Rng
from .trial import Trial

#: Of each result's largest ordinate: exact elements, and sections that deform, whose lines state
#: a change of 1e-3 by their last order and are solved anew on other elements with other functions.
CLASSICAL, DEFORMING = 1e-7, 5e-3
#: Results below this share of what is large are judged on it, as the lines themselves do: twist
#: under a load along an axis of symmetry is rounding of the mesh.
SMALL = 1e-2
#: Unit loads at random, positions of the vehicle at random.
_STATIONS, _POSITIONS = 3, 3


@dataclass(frozen=True, slots=True)
class Standing:
    """Axles that stand on the line: stations and forces."""

    name: str
    stations: tuple[float, ...]
    forces: tuple[float, ...]


def travelling(trial: Trial, rng: Rng) -> None:
    """Ordinates, extremes, and a vehicle on the same line."""
    case = any_member(rng)
    known = sections_of(case)
    bare = replace(case, loads=(), imposed=(), forces=(), combinations=())
    place = case.points[int(rng.integers(len(case.points)))][:2]
    asked = _asked(case, place, rng)
    load = PointLoad(case.length / 2, (0.0, -1.0, 0.0), place)
    member = member_of(replace(bare, loads=(load,)), known)
    named = {one.name: one for one in known}
    line = TravelLine("line", place)
    axles = _vehicle(case, place, rng)
    at = [float(v) for v in rng.uniform(0.02, 0.98, _STATIONS) * case.length]
    first = [float(v) for v in rng.uniform(0.0, 1.2, _POSITIONS)]
    for theory in ("classical", "deforming"):
        found = influence_of(member, named, asked, [line], keep_shape=theory == "classical")
        if theory == "deforming" and found.alone:
            trial.troubles.append(f"sections keep their shape: {found.alone}")
            break
        worst = vehicle_extremes(found, axles, 0, [0])
        standings = [Standing(f"unit {n}", (z,), (1.0,)) for n, z in enumerate(at)]
        standings += [_driven(case, place, axles, n, share) for n, share in enumerate(first)]
        standings += [_extreme(found, c, most) for c in range(len(asked)) for most in (True, False)]
        standings += [Standing(f"worst {n}", w.axles, w.forces) for n, w in enumerate(worst)]
        standings = [one for one in standings if one.stations]
        anew = _anew(member, named, place, standings, asked, theory)
        _hold(trial, theory, found, case.sections[0].size(), worst, standings, anew)


def _hold(
    trial: Trial,
    theory: str,
    found: Influence,
    wide: float,
    worst: Sequence[MovingExtreme],
    standings: Sequence[Standing],
    anew: dict[str, Array],
) -> None:
    within = CLASSICAL if theory == "classical" else DEFORMING
    size = _sizes(found, wide)
    trial.held += ["ordinates", "extremes", "vehicle"]
    for c, one in enumerate(found.asked):
        room = within * size[c]
        maximum, minimum = found.maxima[c].value, found.minima[c].value
        most, least = worst[2 * c], worst[2 * c + 1]
        forces = sum(most.forces) or sum(least.forces) or 1.0
        for standing in standings:
            value = anew[standing.name][c]
            kind, _, number = standing.name.partition(" ")
            words = f"{theory}, {one.title}, load at {standing.stations}"
            if kind == "unit":
                ours = found.field.ordinates(np.array(standing.stations), found.lines[0].place)
                if not abs(ours[0, c] - value) <= room:
                    trial.troubles.append(f"{words}: ordinate {ours[0, c]:.8g}, anew {value:.8g}")
            if kind in ("unit", "extreme") and not (
                minimum - room <= value <= maximum + room or _steps(one, standing)
            ):
                trial.troubles.append(
                    f"{words}: {value:.8g} is beyond {minimum:.8g}, {maximum:.8g}"
                )
            if kind == "extreme" and int(number[1:]) == c and not _steps(one, standing):
                ours_there = maximum if number[0] == "+" else minimum
                if not abs(ours_there - value) <= room:
                    trial.troubles.append(f"{words}: extreme {ours_there:.8g}, anew {value:.8g}")
            if kind in ("driven", "worst") and not _steps(one, standing):
                wide = room * forces
                if not least.value - wide <= value <= most.value + wide:
                    trial.troubles.append(
                        f"{words}: {value:.8g} is beyond the vehicle's {least.value:.8g}, "
                        f"{most.value:.8g}"
                    )
                if kind == "worst" and int(number) // 2 == c:
                    ours_there = worst[int(number)].value
                    if not abs(ours_there - value) <= wide:
                        trial.troubles.append(f"{words}: worst {ours_there:.8g}, anew {value:.8g}")


def _sizes(found: Influence, wide: float) -> Array:
    """(c,) largest ordinate of each result, or what is small beside the movement of the line under
    its own load, a unit force, or one at the edge of the section."""
    own = np.abs(found.ordinates).max(axis=(0, 1))
    moved = own[-1]
    of = {"angle": moved / wide, "displacement": moved, "force": 1.0, "moment": wide}
    return np.maximum(own, [SMALL * of[one.quantity] for one in found.asked])


def _steps(one: AskedResult, standing: Standing) -> bool:
    """Whether a load stands where the line of an internal force jumps, or its reaction is taken."""
    near = 1e-6 * max(abs(one.at), *standing.stations)
    return one.kind == "action" and any(abs(z - one.at) <= near for z in standing.stations)


def _asked(case: MemberCase, place: tuple[float, float], rng: Rng) -> list[AskedResult]:
    """A reaction, an internal force, a twist, a movement; last, how far the line goes down."""
    held = [s for s in case.supports if s.y == "held" or s.bearings]
    support = held[int(rng.integers(len(held)))]
    component = ("R_y", "T")[int(rng.integers(2))] if support.twist == "held" else "R_y"
    at = [float(v) for v in rng.uniform(0.1, 0.9, 3) * case.length]
    action = ("M_x", "M_y", "V_y", "T")[int(rng.integers(4))]
    x, y, z = case.points[int(rng.integers(len(case.points)))]
    found = [
        AskedResult("reaction", component, "reaction", support.at, support.title),
        AskedResult("action", action, f"{action} at {at[0]:g}", at[0]),
        AskedResult("twist", "twist", f"twist at {at[1]:g}", at[1]),
        AskedResult("displacement", ("u_x", "u_y")[int(rng.integers(2))], "movement", z,
                    place=(x, y)),
    ]  # fmt: skip
    if support.bearings:
        number = int(rng.integers(len(support.bearings))) + 1
        found.append(AskedResult("bearing", "R_y", "bearing", support.at, support.title, number))
    down = AskedResult("displacement", "u_y", "the line", at[2], place=place)
    return [*found, down]


def _vehicle(case: MemberCase, place: tuple[float, float], rng: Rng) -> Vehicle:
    behind = [0.0, *np.cumsum(rng.uniform(0.02, 0.25, int(rng.integers(1, 4))) * case.length)]
    axles = tuple(Axle(float(b), float(rng.uniform(0.3, 2.0))) for b in behind)
    return Vehicle("vehicle", axles, (place,), factor=float(rng.uniform(1.0, 1.4)))


def _own_length(case: MemberCase, x: float, z: Array) -> Array:
    """Along the line that lies x beside the axis: the integral of 1 - kappa x."""
    kappa = axis_of(case).curvature((z[1:] + z[:-1]) / 2)
    return np.concatenate([[0.0], np.cumsum(np.diff(z) * (1 - kappa * x))])


def _driven(
    case: MemberCase, place: tuple[float, float], vehicle: Vehicle, number: int, share: float
) -> Standing:
    """The vehicle with its first axle at a share of the line's length, or of the way beyond its
    end; every other time it travels to the start."""
    breaks = np.cumsum([0.0, *(length for length, _, _ in case.pieces)])
    z = np.unique(np.concatenate([breaks, np.linspace(0.0, case.length, 20_001)]))
    s = _own_length(case, place[0], z)
    way = 1.0 if number % 2 == 0 else -1.0
    first = share * s[-1] if way > 0 else (1 - share) * s[-1]
    where = [first - way * a.behind for a in vehicle.axles]
    on = [k for k, v in enumerate(where) if 0 <= v <= s[-1]]
    return Standing(
        f"driven {number}",
        tuple(float(np.interp(where[k], s, z)) for k in on),
        tuple(vehicle.axles[k].force * vehicle.factor for k in on),
    )


def _extreme(found: Influence, c: int, most: bool) -> Standing:
    one = found.maxima[c] if most else found.minima[c]
    return Standing(f"extreme {'+' if most else '-'}{c}", (one.at,), (1.0,))


def _anew(
    member: Member,
    named: dict,  # type: ignore[type-arg]
    place: tuple[float, float],
    standings: Sequence[Standing],
    asked: Sequence[AskedResult],
    theory: str,
) -> dict[str, Array]:
    """Results of the member solved with every standing as a load case of its own."""
    loads = tuple(
        PointLoad(z, (0.0, -force, 0.0), place, case=standing.name)
        for standing in standings
        for z, force in zip(standing.stations, standing.forces, strict=True)
    )
    loaded = member.with_(loads=loads)
    found: dict[str, Array] = {}
    if theory == "classical":
        beam = solve(loaded)
        for name in dict.fromkeys(s.name for s in standings):
            c = beam.column(name)
            values = []
            for one in asked:
                if one.kind in ("reaction", "bearing"):
                    values.append(_reaction(beam.reactions[c], one))
                elif one.kind == "displacement":
                    moved = beam.movement(one.place, [one.at])
                    values.append(moved[one.component == "u_y"][0, c])
                else:
                    word = "phi" if one.kind == "twist" else one.component
                    values.append(getattr(beam.at([one.at]), word)[0, c])
            found[name] = np.array(values)
        return found
    solid = solve_deforming(loaded, course_of(loaded, named))
    for name in dict.fromkeys(s.name for s in standings):
        c = solid.column(name)
        values = []
        for one in asked:
            if one.kind in ("reaction", "bearing"):
                values.append(_reaction(reactions(solid, c), one))
            elif one.kind == "displacement":
                k = ("u_x", "u_y").index(one.component)
                values.append(solid.displacement([one.place], [one.at])[0, 0, k, c])
            elif one.kind == "twist":
                values.append(solid.twist([one.at])[0, c])
            else:
                values.append(getattr(solid.resultants([one.at]), one.component)[0, c])
        found[name] = np.array(values)
    return found


def _reaction(rows: Sequence[SupportReaction], one: AskedResult) -> float:
    row = next(r for r in rows if r.title == one.owner)
    if one.kind == "bearing":
        return row.bearings[one.number - 1].force
    return row.torque if one.component == "T" else row.force[1]
