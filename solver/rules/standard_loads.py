"""Vehicles, crowds and differences of temperature as standards print them, all from memory: compare
them with a copy of the standard before use."""

from __future__ import annotations

from dataclasses import dataclass

from ...geometry.errors import InputError


@dataclass(frozen=True, slots=True)
class StandardVehicle:
    """Axles as (distance behind the first, force), the wheels' distance, and where it stands."""

    axles: tuple[tuple[str, str], ...]
    track: str
    source: str


VEHICLES = {
    "EN 1991-2 service vehicle": StandardVehicle(
        (("0 m", "80 kN"), ("3 m", "40 kN")), "1.3 m",
        "EN 1991-2:2003, 5.3.2.3 and figure 5.2, a vehicle on a footbridge that nothing keeps off",
    ),
    "EN 1991-2 concentrated load": StandardVehicle(
        (("0 m", "10 kN"),), "0 m",
        "EN 1991-2:2003, 5.3.2.2, Q_fwk on a square of 0.1 m, in place of the crowd",
    ),
    "AASHTO H5": StandardVehicle(
        (("0 ft", "2 kip"), ("14 ft", "8 kip")), "6 ft",
        "AASHTO LRFD Guide Specifications for the Design of Pedestrian Bridges (2009), 3.2, clear "
        "width of 7 to 10 ft",
    ),
    "AASHTO H10": StandardVehicle(
        (("0 ft", "4 kip"), ("14 ft", "16 kip")), "6 ft",
        "AASHTO LRFD Guide Specifications for the Design of Pedestrian Bridges (2009), 3.2, clear "
        "width over 10 ft",
    ),
    "AASHTO design truck": StandardVehicle(
        (("0 m", "35 kN"), ("4.3 m", "145 kN"), ("8.6 m", "145 kN")), "1.8 m",
        "AASHTO LRFD, 3.6.1.2.2, its rear axles at their least distance",
    ),
}  # fmt: skip

#: Crowds whose pressure is a figure of its own; the one by its loaded length is `crowd_pressure`.
EUROPEAN_CROWD = "EN 1991-2 footbridge"
CROWDS = {
    EUROPEAN_CROWD: "EN 1991-2:2003, 5.3.2.1, q_fk = 2.0 + 120 / (L + 30), from 2.5 to 5.0 kN/m^2",
    "AASHTO pedestrians": "AASHTO LRFD Guide Specifications for the Design of Pedestrian Bridges "
    "(2009), 3.1, 90 psf",
}
_AMERICAN_PRESSURE = "90 psf"

#: Differences top warmer, bottom warmer in kelvin.
DECKS = {
    "steel deck": (18.0, 13.0),
    "composite deck": (15.0, 18.0),
    "concrete box": (10.0, 5.0),
    "concrete beam": (15.0, 8.0),
    "concrete slab": (15.0, 8.0),
}
_WARMER = ("top warmer", "bottom warmer")
THERMAL_SOURCE = "EN 1991-1-5:2003, table 6.1, linear differences over the depth"
DIFFERENCES = {
    f"EN 1991-1-5 {deck}, {side}": sign * values[k]
    for deck, values in DECKS.items()
    for k, (side, sign) in enumerate(zip(_WARMER, (1.0, -1.0), strict=True))
}


def crowd_pressure(loaded_length: float) -> float:
    """q_fk in kN/m^2 of a length in m that the crowd covers (EN 1991-2, 5.3.2.1).

    >>> crowd_pressure(20.0), crowd_pressure(5.0), crowd_pressure(300.0)
    (4.4, 5.0, 2.5)
    """
    if not loaded_length > 0:
        raise InputError(f"loaded_length is positive, got {loaded_length:g} m")
    if loaded_length <= 10.0:
        return 5.0
    return min(max(2.0 + 120.0 / (loaded_length + 30.0), 2.5), 5.0)


def standard_pressure(name: str, loaded_length: float | None) -> str:
    """The pressure of a crowd of `CROWDS`, with its unit; loaded length in m where it needs one."""
    if name != EUROPEAN_CROWD:
        return _AMERICAN_PRESSURE
    if loaded_length is None:
        raise InputError(
            f"{name} goes by the length that the crowd covers; give it, like loaded_length = "
            '"20 m": the shortest that may govern has the largest pressure'
        )
    return f"{crowd_pressure(loaded_length)!r} kN/m^2"
