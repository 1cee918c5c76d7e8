"""Sums of all that acts on 100 random members by both theories.

``python -m benchmarks.reaction_sums``: rolled shapes, straight and curved, on forks and bearings,
with springs, a deck, a secondary beam, line and point loads by faces; five minutes. Every member
that is done is kept in `reaction_sums.json`.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.reactions import reactions_of

KEPT = Path(__file__).with_suffix(".json")
COUNT = 100
SHAPES = ("HEB300", "IPE500", "HFRHS300X200X10", "UPN200")


def member_text(seed: int) -> str:
    """A member file made by chance."""
    r = np.random.default_rng(seed)
    shape, length = str(r.choice(SHAPES)), float(r.uniform(3, 9))
    curved = r.random() < 0.4 and shape != "UPN200"
    radius = f'radius = "{r.choice([-30, 40])} m"' if curved else ""
    seat = "[0, -100]" if r.random() < 0.5 else '"bottom"'
    pair = 'kind = "bearing pair"\nspacing = "160 mm"\nholds_down = true'
    end = 'kind = "fork"' if r.random() < 0.5 else pair

    def some(low: float, high: float) -> str:
        return f"{r.uniform(low, high):.3f}"

    return f"""
unit = "mm"
[section.s]
shape = "{shape}"
material = "S355"
[[span]]
length = "{length:.3f} m"
{radius}
[[support]]
name = "a"
at = "start"
kind = "fork"
point = {seat}
z = "held"
[[support]]
name = "b"
at = "end"
{end}
[[spring]]
name = "tie"
at = "middle"
x = "{some(0.1, 5)} kN/mm"
twist = "{some(10, 500)} kN*m/rad"
level = "top"
[[deck]]
name = "slab"
from = "0.5 m"
to = "2.5 m"
twist = "{some(5, 80)} kN*m/rad/m"
x = "{some(0.1, 3)} kN/mm/m"
level = "top"
[[secondary_beam]]
name = "joist"
at = "{some(0.2 * length, 0.8 * length)} m"
E = "210 GPa"
I = "1940 cm^4"
length = "4 m"
far_end = "{r.choice(["pinned", "fixed"])}"
connection = "{some(100, 4000)} kN*m/rad"
place = "right face"
loads = {{ q = "{some(2, 9)} kN/m" }}
[[load]]
case = "q"
weight = "{some(2, 9)} kN/m"
place = "left face"
eccentricity = -60
[[load]]
case = "p"
at = "{some(0.1 * length, 0.9 * length)} m"
F_x = "{some(-9, 9)} kN"
F_y = "{some(-9, 2)} kN"
F_z = "{some(-9, 9)} kN"
T = "{some(-3, 3)} kN*m"
M_x = "{some(-3, 3)} kN*m"
place = "top"
[[combination]]
name = "c"
factors = {{ q = 1.0, p = 1.3 }}
"""


def missed(seed: int) -> dict[str, float]:
    """Largest of the six sums of one member, relative to the size of all that acts, by theory."""
    request = member_from_toml(member_text(seed))
    member = request.member
    deforming = solve_deforming(member, course_of(member, request.sections), orders=(5,))
    found = reactions_of(solve(member), deforming)
    return {theory.theory: float(theory.miss.max()) for theory in found}


def main() -> None:
    """Solve what is not kept yet, and say the largest."""
    kept = json.loads(KEPT.read_text()) if KEPT.exists() else {}
    for seed in range(COUNT):
        if str(seed) not in kept:
            kept[str(seed)] = missed(seed)
            KEPT.write_text(json.dumps(kept, indent=1) + "\n")
    for theory in ("deforming", "classical"):
        values = [row[theory] for row in kept.values()]
        print(f"{theory}: at most {max(values):.1e}, half below {np.median(values):.1e}")


if __name__ == "__main__":
    main()
