"""Rows solved together beside the same rows solved alone: ``python -m benchmarks.family_rows``.

Four builds that no limit was chosen by: channels with sloped flanges, tapered girders of odd
plates, angles with fillets, boxes of two to five cells whose number changes from row to row. All
dimensions are random. J's interval must hold the true value, found alone to 1e-8, in every row;
every other property must lie within what is stated of its doubt. Seventy-five rows of each take
some five minutes; nothing is written.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable

import numpy as np

Array = np.ndarray


def _profile(name: str, values: dict[str, float]):
    from soapfilm.geometry.profiles.by_name import build_profile

    return build_profile(name, values).section(unit="mm")


def channel(rng: np.random.Generator):
    """Flanges sloped by up to 8 degrees, fillets and rounded tips."""
    thickness = rng.uniform(14, 18)
    return _profile(
        "U",
        {
            "Depth": rng.uniform(180, 320),
            "FlangeWidth": rng.uniform(85, 115),
            "WebThickness": rng.uniform(8, 12),
            "FlangeThickness": thickness,
            "FilletRadius": rng.uniform(8, 14),
            "EdgeRadius": rng.uniform(3, 5),
            "FlangeSlope": np.deg2rad(rng.uniform(3, 8)),
        },
    )


def angle(rng: np.random.Generator):
    """Unequal legs, a fillet, rounded toes."""
    return _profile(
        "L",
        {
            "Depth": rng.uniform(100, 200),
            "Width": rng.uniform(60, 120),
            "Thickness": rng.uniform(9, 14),
            "FilletRadius": rng.uniform(8, 13),
            "EdgeRadius": rng.uniform(3, 6),
        },
    )


def girder(rng: np.random.Generator):
    """A web that leans and tapers between unequal flanges that taper toward their tips, one with a
    lip."""
    from soapfilm.geometry.outline.contour import Contour
    from soapfilm.geometry.section import Section

    h, lean = rng.uniform(300, 500), rng.uniform(-40, 40)
    low, top = rng.uniform(8, 12), rng.uniform(12, 18)
    a, b, c, d = rng.uniform((90, 110, 60, 70), (130, 170, 100, 110))
    root, tip, lip = rng.uniform((18, 10, 30), (26, 14, 50))
    points = [
        *[(-a, 0), (b, 0), (b, lip), (b - tip, lip), (b - tip, tip), (low, root)],
        *[(lean + top, h - root), (lean + c, h - tip), (lean + c, h)],
        *[(lean - d, h), (lean - d, h - tip), (lean - 3, h - root), (-2, root), (-a, tip)],
    ]
    return Section.single(Contour(points), unit="mm")


def box(rng: np.random.Generator):
    """A trapezoid of two to five cells between leaning webs."""
    from soapfilm.geometry.outline.contour import Contour
    from soapfilm.geometry.section import Section

    cells = int(rng.integers(2, 6))
    h, out = rng.uniform(900, 1300), rng.uniform(50, 350)
    t, bottom, top = rng.uniform((14, 18, 16), (26, 30, 30))
    widths = rng.uniform(600, 1000, cells)
    foot = np.concatenate([[0], np.cumsum(widths)])
    head = -out + foot * (foot[-1] + 2 * out) / foot[-1]

    outer = [(foot[0] - t, 0), (foot[-1] + t, 0), (head[-1] + t, h), (head[0] - t, h)]
    low, high = (foot + (head - foot) * y / h for y in (bottom, h - top))
    holes = [
        Contour([(p + t, bottom), (q - t, bottom), (s - t, h - top), (r + t, h - top)])
        for p, q, r, s in zip(low[:-1], low[1:], high[:-1], high[1:], strict=True)
    ]
    return Section.single(Contour(outer), holes, unit="mm")


BUILDS: dict[str, Callable] = {
    "channel with slopes": channel,
    "angle with fillets": angle,
    "tapered girder": girder,
    "box of two to five cells": box,
}


def deviations(mine, true) -> dict[str, float]:
    """How far each property of a row is off, by what is stated of its doubt."""
    size = true.section.size()
    warping = mine.warping_properties
    stress = [m.torsion_modulus.value or m.torsion_modulus.away for m in (mine, true)]
    return {
        "A": abs(mine.area / true.area - 1) / 1e-12,
        "I": max(
            abs(getattr(mine.second_moments, n) - getattr(true.second_moments, n))
            / true.second_moments.major
            for n in ("x", "y", "xy")
        )
        / 1e-12,
        "Z": max(
            abs(getattr(mine.plastic_moduli, n) / getattr(true.plastic_moduli, n) - 1)
            for n in ("x", "y")
        )
        / 1e-10,
        "C_w": abs(mine.warping_constant - true.warping_constant) / warping.warping_constant_change,
        "shear centre": float(np.hypot(*(mine.shear_centre - true.shear_centre)))
        / (warping.shear_centre_change + 1e-9 * size),
        "lever arm": abs(mine.mean_lever_arm / true.mean_lever_arm - 1)
        / (mine.mean_lever_arm_change + true.mean_lever_arm_change),
        "stress": abs(stress[0] / stress[1] - 1)
        / (mine.torsion_modulus.doubt + true.torsion_modulus.doubt),
        "T_p": abs(mine.plastic_torque.value / true.plastic_torque.value - 1) / 2e-4,
    }


def main() -> None:
    """Solve, compare, print."""
    from soapfilm.solver.section import solve_section
    from soapfilm.solver.section.family.solve import solve_sections

    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--rows", type=int, default=75, help="of each build")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--accuracy", type=float, default=1e-4)
    options = parser.parse_args()
    for name, build in BUILDS.items():
        rng = np.random.default_rng(options.seed)
        sections = [build(rng) for _ in range(options.rows)]
        found = solve_sections(sections, options.accuracy)
        meshes = [id(one.field.mesh.triangles) for one in found]
        shared = sum(meshes.count(one) > 1 for one in meshes)
        missed, worst = [], {}
        for row, (section, one) in enumerate(zip(sections, found, strict=True)):
            true = solve_section(section, 1e-8)
            j, width = (
                true.torsion_constant,
                one.torsion_constant_upper - one.torsion_constant_lower,
            )
            held = one.torsion_constant_lower <= j <= one.torsion_constant_upper
            if not held or width > options.accuracy * j:
                missed.append(row)
            for what, off in deviations(one, true).items():
                worst[what] = max(worst.get(what, (0, 0)), (off, row))
        print(f"{name}: {len(sections)} rows, {shared} on shared meshes of {len(set(meshes))}")
        print(f"  J not in its interval, or that wider than asked: {missed or 'none'}")
        print("  largest deviation by its doubt:", end=" ")
        print(", ".join(f"{what} {off:.2f} (row {row})" for what, (off, row) in worst.items()))


if __name__ == "__main__":
    main()
