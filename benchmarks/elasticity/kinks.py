"""A box with a kink in plan, its walls bare in the bisecting plane or on a plate there, in 3D.

``python -m benchmarks.elasticity.kinks`` (minutes) writes `kinks.json`.

The theory of deforming sections ends both pieces square to their own axes, and leaves out how
planes lean beside a kink; what that costs is told beside its results and held by
`tests/deforming/test_kinks_against_elasticity.py`.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from .case import Case, LineLoad, Station
from .cases import box
from .grid import Plate

KEPT = Path(__file__).parent / "kinks.json"
WIDTH, DEPTH, WALL, LENGTH, AT = 1200.0, 800.0, 16.0, 16_000.0, 7_000.0
#: Angle in degrees and thickness of the plate, if there is one.
VARIANTS = ((15.0, 0.0), (30.0, 16.0))
_Z = (3_500.0, 5_500.0, 8_500.0, 11_500.0)
_NEAR = (AT - 700.0, AT + 700.0)


def kinked(angle: float, plate: float) -> Case:
    """A box of 16 m, fixed and held in plane at its far end, 40 kN/m over its outer web."""
    b, h = WIDTH / 2, DEPTH / 2
    plates = box(WIDTH, DEPTH, WALL, WALL)
    if plate:
        inner = (WALL - b, b - WALL), (WALL - h, h - WALL)
        plates += (Plate(*inner, span=(AT - plate / 2, AT + plate / 2)),)
    return Case(
        f"kink of {angle:g} degrees, " + (f"plate of {plate:g} mm" if plate else "bare walls"),
        "box 1200 x 800 x 16 with a kink at 7 m",
        plates,
        LENGTH,
        (Station(0.0, "fixed"), Station(LENGTH, "in-plane held")),
        (LineLoad(b, h, 0.0, LENGTH, (0.0, -40.0, 0.0)),),
        tuple((x, y, z) for z in _Z for x, y in ((-b, h), (b, h), (b, -h))),
        tuple(
            (x, y, z)
            for z in (*_Z, *_NEAR)
            for x, y in ((b, -0.7 * h), (-b, -0.7 * h), (-b / 2, h), (b / 2, -h))
        ),
        kink=(AT, float(np.radians(angle)), WIDTH),
        corner=(6.0, 40.0),
        coarse=1000.0,
        order=3,
    )


def main() -> None:
    """Solve and keep them."""
    from .__main__ import record

    found = [record(kinked(*one)) for one in VARIANTS]
    KEPT.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main()
