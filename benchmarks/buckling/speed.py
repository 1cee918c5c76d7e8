"""Processor time of curves: ``python -m benchmarks.buckling.speed`` (half a minute).

From the section to its curve, minima and names; the mesh and the matrices apart, imports left out,
one thread, best of three. Writes speed.json.
"""

from __future__ import annotations

import json
import time
from pathlib import Path

from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import c_shape
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.section.buckling.anchors import intervals_of
from soapfilm.solver.section.buckling.branches import samples_of
from soapfilm.solver.section.buckling.prepared import prepared
from soapfilm.solver.section.buckling.solution import buckling_of
from soapfilm.solver.section.stress.actions import Actions

DATA = Path(__file__).parent / "speed.json"
STEEL = Material("steel", 210e3, 0.3)
#: Name, section, actions.
RUNS: tuple[tuple[str, Section, Actions], ...] = (
    (
        "square tube 200x4, N",
        rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL),
        Actions(axial_force=-1.0),
    ),
    (
        "lipped channel 200x75x20x2, N",
        c_shape(
            depth=200, width=75, wall_thickness=2, girth=20, internal_fillet_radius=3
        ).section(material=STEEL),
        Actions(axial_force=-1.0),
    ),
    (
        "I 300x150 with fillets, M_x",
        i_shape(
            overall_depth=300, overall_width=150, flange_thickness=10.7, web_thickness=7.1,
            fillet_radius=15,
        ).section(material=STEEL),
        Actions(moment_x=-1.0),
    ),
    (
        "square tube 200x4, T (oblique waves)",
        rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL),
        Actions(torque=1.0),
    ),
)  # fmt: skip


def measured(section: Section, actions: Actions) -> dict[str, float]:
    """Seconds of preparing, of the curve alone, and of all after preparing."""
    begin = time.process_time()
    ready = prepared(section)
    made = time.process_time()
    vector = ready.actions_of(actions)
    low, high = ready.range(None, None, vector)
    pencil = ready.pencil(vector)
    samples = samples_of(intervals_of(pencil, ready.chains, low, high))
    curve = time.process_time()
    buckling_of(ready, actions, None, None)
    end = time.process_time()
    return {
        "unknowns": 3 * ready.matrices.count,
        "half_wavelengths": len({sample.k for sample in samples}),
        "mesh_and_matrices": round(made - begin, 2),
        "curve": round(curve - made, 2),
        "curve_minima_names": round(end - curve, 2),
    }


def main() -> None:
    """Best of three of each."""
    table = {}
    for name, section, actions in RUNS:
        measured(section, actions)  # imports
        runs = [measured(section, actions) for _ in range(3)]
        table[name] = min(runs, key=lambda run: run["curve_minima_names"])
        print(name, table[name], flush=True)
    DATA.write_text(json.dumps(table, indent=1) + "\n")


if __name__ == "__main__":
    main()
