"""Vehicles on one span and two: the largest moment anywhere; vehicles and crowds of standards."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from soapfilm.geometry.units import Units
from soapfilm.solver.member.file.braking_tables import CROWD_SHARE, VEHICLE_SHARE
from soapfilm.solver.member.influence.analysis import TravelLine, influence_of
from soapfilm.solver.member.influence.traffic import Traffic
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.moving import Axle, Vehicle
from soapfilm.solver.rules.standard_loads import (
    DIFFERENCES,
    VEHICLES,
    crowd_pressure,
    standard_pressure,
)

from .figure import Figure
from .influence_lines import ON_AXIS, bending, continuous
from .registry import Found, Topic

Array = NDArray[np.float64]

MOVING = Topic(
    "Moving loads",
    "Ours: the worst place by the influence line of each section, the worst section by search; "
    "figures of standards from memory.",
)
#: Sections tried at once, and how often their reach is narrowed to the two beside the best.
SECTIONS, ROUNDS = 9, 5


def vehicle(forces: Sequence[float], behind: Sequence[float]) -> Vehicle:
    """On the axis, either way round."""
    return Vehicle(
        "cart", tuple(Axle(x, p) for x, p in zip(behind, forces, strict=True)), (ON_AXIS,)
    )


def sagging_at(member: Member, stations: Sequence[float], load: Vehicle) -> Array:
    """(m,) largest sagging moment at each station, the vehicle at its worst place for it."""
    found = influence_of(
        member, {}, [bending(z) for z in stations], [TravelLine("axis", ON_AXIS)], keep_shape=True
    )
    rows = Traffic(found, [load], []).alone()
    return np.array([-r.value for r in rows if not r.maximum])


def largest_sagging(member: Member, load: Vehicle, start: float, end: float) -> tuple[float, float]:
    """The largest moment between two stations, and where: in the end by a parabola, which it is
    where one axle stands over the section."""
    for _ in range(ROUNDS):
        z = np.linspace(start, end, SECTIONS)[1:-1]
        moments = sagging_at(member, z.tolist(), load)
        best = int(moments.argmax())
        step = float(z[1] - z[0])
        start, end = float(z[best]) - step, float(z[best]) + step
    a, b, c = np.polyfit((z - z[best]) / step, moments, 2)
    return float(c - b * b / (4 * a)), float(z[best] - step * b / (2 * a))


@MOVING.check("mov_40_20", within=1e-6, published=4e-4)
@MOVING.check("mov_50_30", within=1e-6, published=3e-5)
@MOVING.check("mov_13kN", within=1e-6)
@MOVING.check("mov_en_service", within=1e-6)
def two_axles(figure: Figure) -> Found:
    """On a simple span."""
    p1, p2, apart, span = (figure.inputs[k] for k in ("P1", "P2", "spacing", "L"))
    load = vehicle([p1, p2], [0.0, apart])
    return Found.about(largest_sagging(continuous([span]), load, 0.0, span)[0])


@MOVING.check("mov_three", within=2e-6)
@MOVING.check("mov_hl93", within=2e-6)
def three_axles(figure: Figure) -> Found:
    """The moment and its section, counted from the end that the figure counts from."""
    span = figure.inputs["L"]
    load = vehicle(figure.inputs["P"], figure.inputs["x"])
    moment, at = largest_sagging(continuous([span]), load, 0.0, span)
    near = min((at, span - at), key=lambda z: abs(z - figure.values[1]))
    return Found((moment, near), (1e-8 * moment, 1e-7 * near))


@MOVING.check("mov2_hog", within=1e-6)
def two_spans(figure: Figure) -> Found:
    """Hogging of the pier and the first span's largest sagging."""
    span, forces, apart = (figure.inputs[k] for k in ("L", "P", "a"))
    member, load = continuous([span, span]), vehicle(forces, [0.0, apart])
    found = influence_of(
        member, {}, [bending(span)], [TravelLine("axis", ON_AXIS)], keep_shape=True
    )
    hogging = Traffic(found, [load], []).alone()[0].value
    return Found.several([hogging, largest_sagging(member, load, 0.0, span)[0]])


# -- standards ------------------------------------------------------------------------------------
@MOVING.check("crowd_qfk", within=2e-9)
def crowd(figure: Figure) -> Found:
    """By the length covered."""
    return Found.several(crowd_pressure(length) for length in figure.inputs["L"])


@MOVING.check("crowd_conc", within=1e-12)
def concentrated(_figure: Figure) -> Found:
    """A vehicle of one axle, and what a crowd pushes along."""
    ((_, force),) = VEHICLES["EN 1991-2 concentrated load"].axles
    size = Units("m").read(force, "force") / Units("m").read("1 kN", "force")
    return Found.several([size, CROWD_SHARE])


def axles(name: str, length: str, force: str) -> list[float]:
    """Forces and distances of a standard's vehicle."""
    read, own = Units("m").read, VEHICLES[name].axles
    forces = [read(p, "force") / read(f"1 {force}", "force") for _, p in own]
    return [*forces, *(read(x, "length") / read(f"1 {length}", "length") for x, _ in own[1:])]


@MOVING.check("service_vehicle", within=1e-12)
def service_vehicle(_figure: Figure) -> Found:
    """Its axles, its track, and its braking."""
    name = "EN 1991-2 service vehicle"
    track = Units("m").read(VEHICLES[name].track, "length")
    return Found.several([*axles(name, "m", "kN"), track, VEHICLE_SHARE])


@MOVING.check("crowd_us", within=1e-12)
def american_footbridge(_figure: Figure) -> Found:
    """Pressure and both maintenance vehicles."""
    read = Units("m").read
    pressure = read(standard_pressure("AASHTO pedestrians", None), "stress")
    rows = [axles(f"AASHTO {name}", "ft", "kip") for name in ("H5", "H10")]
    return Found.several([pressure / read("1 psf", "stress"), *rows[0], *rows[1]])


@MOVING.check("thermal_en_linear", within=1e-12)
def linear_differences(_figure: Figure) -> Found:
    """Every deck warmed and cooled."""
    return Found.several(abs(v) for v in DIFFERENCES.values())
