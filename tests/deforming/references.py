"""What 3D elasticity says of members whose sections deform: the kept records of the benchmarks."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from benchmarks.elasticity.case import Case, EndTorque, LineLoad, Material, Station
from benchmarks.elasticity.grid import Plate

DATA = Path(__file__).parents[2] / "benchmarks" / "elasticity" / "data"
#: Orders converge like a geometric row that a corner slows: what is left is at most about three
#: times what the last order changed.
REMAINDER = 3.0


@dataclass(frozen=True, slots=True)
class Value:
    """What is known at a point: displacements (3,) in mm or stresses (6,) in N/mm^2.

    Stresses are xx, yy, zz, yz, xz, xy. Both are along the section's own axes at that place.
    """

    at: tuple[float, float, float]
    value: tuple[float, ...]
    change: tuple[float, ...]

    @property
    def error(self) -> tuple[float, ...]:
        """Estimated error of each component."""
        return tuple(REMAINDER * change for change in self.change)


@dataclass(frozen=True, slots=True)
class Reference:
    """A case and its values at points."""

    case: Case
    displacements: tuple[Value, ...]
    stresses: tuple[Value, ...]


def names() -> list[str]:
    """Every case that is kept."""
    return sorted(path.stem for path in DATA.glob("*.json"))


@cache
def reference(name: str) -> Reference:
    """A kept case by its name, such as "straight-box"."""
    return _reference(json.loads((DATA / f"{name}.json").read_text()))


@cache
def kinks() -> tuple[Reference, ...]:
    """The boxes with a kink."""
    return tuple(_reference(one) for one in json.loads((DATA.parent / "kinks.json").read_text()))


def _reference(record: dict[str, Any]) -> Reference:
    results = {
        kind: tuple(
            Value(tuple(v["at"]), tuple(v["value"]), tuple(v["change"]))
            for v in record["results"][kind]
        )
        for kind in ("displacements", "stresses")
    }
    return Reference(_case(record["case"], results), **results)


def near_start(known: Reference) -> float:
    """Distance from a fixed start within which stresses are not compared."""
    if known.case.stations[0].kind != "fixed":
        return 0.0
    sides = [[s for plate in known.case.plates for s in getattr(plate, axis)] for axis in "xy"]
    return max(max(side) - min(side) for side in sides)


def _case(given: dict[str, Any], results: dict[str, tuple[Value, ...]]) -> Case:
    loads = []
    for load in given["loads"]:
        kind = load.pop("kind")
        if kind == "torque":
            loads.append(EndTorque(**load))
        else:
            loads.append(LineLoad(**load | {"force": tuple(load["force"])}))
    pairs = ("x", "y", "span", "x_end", "y_end")
    plates = tuple(
        Plate(**{k: tuple(v) if k in pairs and v else v for k, v in plate.items()})
        for plate in given["plates"]
    )
    stations = tuple(
        Station(s["z"], s["kind"], tuple(tuple(h) for h in s["held"])) for s in given["stations"]
    )
    rest = {k: tuple(v) if isinstance(v, list) else v for k, v in given.items()}
    return Case(
        **rest
        | {
            "loads": tuple(loads),
            "plates": plates,
            "stations": stations,
            "materials": tuple(Material(**m) for m in given["materials"]),
            "lines": tuple(tuple(line) for line in given["lines"]),
            "displacements": tuple(v.at for v in results["displacements"]),
            "stresses": tuple(v.at for v in results["stresses"]),
        }
    )
