"""Random section files whose numbers are differentiated: profiles, outlines by their points,
plates with welds, two materials, parts added and cut; each with the numbers to ask for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes

Rng = np.random.Generator


@dataclass(frozen=True, slots=True)
class Written:
    """A file's text and the numbers asked for: addresses, or words with several of them."""

    text: str
    numbers: tuple[str, ...]


def _toml(value: object) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    return repr(float(f"{value:.6g}"))


def entry(table: str, **values: object) -> str:
    """A table of a list, like [[shape]]."""
    rows = [f"{key} = {_toml(value)}" for key, value in values.items()]
    return "\n".join([f"[[{table}]]", *rows]) + "\n"


def _profile(rng: Rng, name: str, key: str, size: float, **more: object) -> tuple[str, list[str]]:
    """A parametric shape, and the addresses of its lengths."""
    wall = size * rng.uniform(0.03, 0.08)
    values: dict[str, object] = {"name": name, "profile": key}
    numbers = []
    for one in profile_attributes(key):
        word = one.ifc.lower()
        if word in ("deviation", "thicknessat", "flangethicknessat"):
            continue
        if one.is_angle:
            if rng.random() < 0.3:
                values[one.ifc] = rng.uniform(2, 7)
            continue
        rounding = "fillet" in word or "edgeradius" in word
        if rounding and not one.required and rng.random() < 0.4:
            continue
        if "offset" in word:
            values[one.ifc] = size * rng.uniform(-0.3, 0.3)
        elif "edgeradius" in word:
            values[one.ifc] = wall * rng.uniform(0.15, 0.4)
        elif "outerfillet" in word:
            values[one.ifc] = wall * rng.uniform(1.6, 2.5)
        elif "innerfillet" in word or "internalfillet" in word:
            values[one.ifc] = wall * rng.uniform(0.5, 0.9)
        elif "fillet" in word:
            values[one.ifc] = wall * rng.uniform(0.5, 1.5)
        elif "roundingradius" in word:
            values[one.ifc] = size * rng.uniform(0.05, 0.2)
        elif "thickness" in word:
            values[one.ifc] = wall * rng.uniform(0.8, 1.5)
        elif "girth" in word:
            values[one.ifc] = size * rng.uniform(0.2, 0.3)
        else:
            values[one.ifc] = size * rng.uniform(0.6, 1.3)
        numbers.append(f"{name}.{one.ifc}")
    return entry("shape", **(values | more)), numbers


def profile(rng: Rng) -> Written:
    """One parametric shape, turned now and then."""
    more = {"rotate": rng.uniform(-60, 60)} if rng.random() < 0.3 else {}
    text, numbers = _profile(rng, "own", str(rng.choice(sorted(PROFILES))), 100.0, **more)
    return Written('unit = "mm"\n' + text, tuple(numbers))


def outline(rng: Rng) -> Written:
    """A star of straight and bent edges, with a hole now and then, by its coordinates."""
    count = int(rng.integers(3, 8))
    angle = 2 * np.pi * (np.arange(count) + rng.uniform(-0.3, 0.3, count)) / count
    radius = 100 * rng.uniform(0.6, 1.2, count)
    rows = [[r * np.cos(a), r * np.sin(a)] for r, a in zip(radius, angle, strict=True)]
    for row in rows:
        if rng.random() < 0.25:
            row.append(rng.uniform(0.1, 0.4))
    values: dict[str, object] = {"name": "own", "points": rows}
    numbers = [f"own.points.{k + 1}.{'xy'[rng.integers(2)]}" for k in range(min(count, 4))]
    numbers += [f"own.points.{k + 1}.bulge" for k, row in enumerate(rows) if len(row) > 2][:1]
    if rng.random() < 0.6:
        x, y, half = rng.uniform(-10, 10), rng.uniform(-10, 10), rng.uniform(8, 22)
        corners = [[x - half, y - half], [x + half, y - half], [x + half, y + half],
                   [x - half, y + half]]  # fmt: skip
        values["holes"] = [corners]
        numbers += ["own.holes.1.2.x", "side = own.holes.1.1.y, own.holes.1.2.y"]
    return Written('unit = "mm"\n' + entry("outline", **values), tuple(numbers))


def plates(rng: Rng) -> Written:
    """A tee, a box or a cold-bent strip of plates that follow named lengths."""
    wide, deep = rng.uniform(80, 160), rng.uniform(80, 200)
    t, w, leg = rng.uniform(5, 12), rng.uniform(4, 10), rng.uniform(3, 6)
    named = (f'unit = "mm"\n[quantity]\nwide = {wide:.6g}\ndeep = {deep:.6g}\nt = {t:.6g}\n'
             f"w = {w:.6g}\nleg = {leg:.6g}\n")  # fmt: skip
    numbers = ["quantity.wide", "quantity.deep", "quantity.t", "quantity.w", "quantity.leg"]
    kind = rng.integers(4)
    if kind == 0:  # a tee with two fillets
        text = (
            '[[plate]]\nname = "f"\npoints = [["= -wide/2", 0], ["= wide/2", 0]]\n'
            'thickness = "= t"\n'
            '[[plate]]\nname = "v"\npoints = [[0, "= -t/2 - deep"], [0, "= -t/2"]]\n'
            'thickness = "= w"\n'
            '[[weld]]\nbetween = ["v", "f"]\nleg = "= leg"\n'
        )
    elif kind == 1:  # an I with full welds
        text = (
            '[[plate]]\nname = "f"\npoints = [["= -wide/2", "= t/2"], ["= wide/2", "= t/2"]]\n'
            'thickness = "= t"\n'
            '[[plate]]\nname = "v"\npoints = [[0, "= -deep"], [0, 0]]\nthickness = "= w"\n'
            '[[plate]]\nname = "g"\npoints = [["= -wide/3", "= -deep - w/2"], '
            '["= wide/3", "= -deep - w/2"]]\nthickness = "= w"\n'
            '[[weld]]\nbetween = ["v", "f"]\nkind = "full"\n'
            '[[weld]]\nbetween = ["v", "g"]\nkind = "full"\n'
        )
        numbers = numbers[:4]
    elif kind == 2:  # a box bent of a strip
        text = (
            '[[plate]]\nname = "own"\npoints = [["= -wide/2", "= deep/2"], ["= -wide/2", '
            '"= -deep/2"], ["= wide/2", "= -deep/2"], ["= wide/2", "= deep/2"]]\n'
            f'closed = true\nthickness = "= t"\nbend_radius = {2.5 * t:.6g}\n'
        )
        numbers = [*numbers[:3], "own.bend_radius"]
    else:  # two flats with a partial weld: a slit between them
        text = (
            '[[plate]]\nname = "a"\npoints = [[0, 0], ["= wide", 0]]\nthickness = "= t"\n'
            '[[plate]]\nname = "b"\npoints = [[0, "= t"], ["= wide", "= t"]]\nthickness = "= t"\n'
            '[[weld]]\nbetween = ["a", "b"]\nkind = "partial"\ndepth = "= leg"\n'
        )
        numbers = ["quantity.wide", "quantity.t", "quantity.leg"]
    return Written(named + text, tuple(numbers))


def composite(rng: Rng) -> Written:
    """A slab on an I or a box, of another material."""
    deep, wide = rng.uniform(100, 200), rng.uniform(60, 120)
    t, slab, over = rng.uniform(5, 10), rng.uniform(20, 60), rng.uniform(80, 150)
    stuff = ["C30/37", "S355", "GL24h", "acrylic"]
    one, two = rng.choice(stuff, 2, replace=False)
    head = (
        f'unit = "mm"\n[material.a]\ngrade = "{one}"\n[material.b]\ngrade = "{two}"\n'
        f"[quantity]\ndeep = {deep:.6g}\nwide = {wide:.6g}\nt = {t:.6g}\nslab = {slab:.6g}\n"
        f"over = {over:.6g}\n"
    )
    if rng.random() < 0.5:
        below = (
            '[[shape]]\nname = "beam"\nmaterial = "a"\nprofile = "I"\nOverallDepth = "= deep"\n'
            'OverallWidth = "= wide"\nWebThickness = "= t"\nFlangeThickness = "= 1.3*t"\n'
        )
        if rng.random() < 0.6:
            below += 'FilletRadius = "= t"\n'
    else:
        below = (
            '[[shape]]\nname = "beam"\nmaterial = "a"\nprofile = "RectangleHollow"\n'
            'XDim = "= wide"\nYDim = "= deep"\nWallThickness = "= t"\n'
        )
        if rng.random() < 0.6:
            below += 'InnerFilletRadius = "= t"\n'
    side = rng.uniform(-20, 20)
    above = (
        '[[shape]]\nname = "slab"\nmaterial = "b"\nprofile = "Rectangle"\nXDim = "= 2*over"\n'
        f'YDim = "= slab"\nmove = [{side:.6g}, "= deep/2 + slab/2"]\n'
    )
    numbers = ("quantity.deep", "quantity.wide", "quantity.t", "quantity.slab", "quantity.over")
    return Written(head + below + above, numbers)


def combined(rng: Rng) -> Written:
    """A shape with another added to it and a hole cut."""
    key = str(rng.choice(["Rectangle", "Circle", "IShape", "TShape", "Trapezium"]))
    first, numbers = _profile(rng, "first", key, 100.0)
    second, more = _profile(rng, "second", "Rectangle", 45.0, combine="add",
                            move=[rng.uniform(5, 15), rng.uniform(-10, 10)])  # fmt: skip
    text = 'unit = "mm"\n' + first + second
    numbers = [*numbers[:4], *more]
    if rng.random() < 0.5:
        radius = rng.uniform(4, 8)
        text += entry("shape", name="hole", profile="Circle", Radius=radius, combine="cut",
                      move=[rng.uniform(5, 12), rng.uniform(-4, 4)])  # fmt: skip
        numbers += ["hole.Radius", "hole.move.1"]
    return Written(text, tuple(numbers))


FAMILIES: dict[str, Callable[[Rng], Written]] = {
    one.__name__: one for one in (profile, outline, plates, composite, combined)
}


def written(family: str, seed: int) -> Written:
    """The file of a family and a seed."""
    return FAMILIES[family](np.random.default_rng([seed, sorted(FAMILIES).index(family)]))


#: Actions in N and mm of a section some 100 mm large, drawn alone or together.
_ACTIONS: Sequence[tuple[str, str, float]] = (
    ("N", "kN", 50), ("M_x", "kN*m", 3), ("M_y", "kN*m", 2), ("V_x", "kN", 15), ("V_y", "kN", 20),
    ("T", "kN*m", 0.5), ("T_w", "kN*m", 0.2), ("B", "kN*m^2", 0.02),
)  # fmt: skip


def actions(rng: Rng) -> dict[str, str]:
    """One to five actions at random."""
    some = rng.choice(len(_ACTIONS), int(rng.integers(1, 6)), replace=False)
    return {
        name: f"{size * rng.uniform(0.3, 1) * rng.choice([-1, 1]):.4g} {unit}"
        for name, unit, size in (_ACTIONS[int(k)] for k in sorted(some))
    }
