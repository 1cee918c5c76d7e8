"""Random section files: mostly sensible, with the slips that people and programs make."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from soapfilm.geometry.catalogue import search
from soapfilm.geometry.profiles.by_name import PROFILES, profile_attributes

#: What is written where a number is expected, now and then.
SLIPS = (
    "0", "-1", "1e-9", "1e12", "1e300", "-0.0", "nan", "inf", "true", '""', '"5"', '"3 kN"',
    '"1/2 in"', '"12 mm"', '"1 1/0 in"', "[]", "[1, 2]", "{}", "1979-05-27", '"９ mm"', "99" * 20,
)  # fmt: skip
_GRADES = ("S355", "C30/37", "A992", "GL24h", "acrylic", "S235", "s 275", "A36")
_PARTS = ("outline", "shape", "rolled", "plates")


def section_text(rng: random.Random) -> str:
    """The text of a section file."""
    unit = rng.choice(["mm", "mm", "mm", "in", "m", "cm", "ft"])
    size = {"mm": 100.0, "in": 4.0, "m": 0.1, "cm": 10.0, "ft": 0.3}[unit]
    slips = rng.random() < 0.5
    pen = _Pen(rng, size, 0.03 if slips else 0.0)
    lines = [f'unit = "{unit}"'] if not slips or rng.random() > 0.05 else []
    if rng.random() < 0.3:
        lines.append(f'name = "{rng.choice(["deck", "", "naïve ☃", "x" * 300])}"')
    names = _materials(rng, pen, lines)
    for _ in range(rng.choice([1, 1, 1, 1, 2, 3, 5])):
        kind = rng.choice(_PARTS)
        lines += {
            "outline": _outline, "shape": _shape, "rolled": _rolled, "plates": _plates
        }[kind](rng, pen, names)  # fmt: skip
    return "\n".join(lines) + "\n"


class _Pen:
    """Writes numbers of the section's size, and slips instead of them now and then."""

    def __init__(self, rng: random.Random, size: float, slips: float) -> None:
        self.rng, self.size, self.slips = rng, size, slips

    def number(self, low: float, high: float) -> str:
        """Between low and high times the section's size."""
        if self.rng.random() < self.slips:
            return self.rng.choice(SLIPS)
        value = self.size * self.rng.uniform(low, high)
        if self.rng.random() < 0.3:
            value = round(value, 1)
        return repr(value)

    def word(self, good: Sequence[str], slips: Sequence[str]) -> str:
        """One of the words that are right, or a slip now and then."""
        return self.rng.choice(slips if self.rng.random() < self.slips else good)

    def point(self, x: float, y: float) -> str:
        """A vertex near (x, y) times the size."""
        return f"[{self.number(x - 1e-12, x + 1e-12)}, {self.number(y - 1e-12, y + 1e-12)}]"


def _materials(rng: random.Random, pen: _Pen, lines: list[str]) -> list[str]:
    names = []
    for k in range(rng.choice([0, 0, 1, 1, 2, 3])):
        name = f"m{k}"
        names.append(name)
        lines.append(f"[material.{name}]")
        if rng.random() < 0.5:
            lines.append(
                f'grade = "{rng.choice(_GRADES[:-1] if rng.random() < 0.95 else _GRADES)}"'
            )
            if rng.random() < 0.4:
                lines.append(f"creep_factor = {pen.number(0.0, 3 / pen.size)}")
            continue
        modulus = pen.word(["210 GPa", "29000 ksi", "70e3 MPa"], ["0 GPa", "-1 MPa", "9", "7 kN"])
        lines.append(f'E = "{modulus}"')
        lines.append(f"nu = {pen.word(['0.3', '0', '0.5', '-0.9'], ['0.51', 'nan', '-1'])}")
        if rng.random() < 0.3:
            lines.append('strength = "355 MPa"')
    return names


def _common(rng: random.Random, pen: _Pen, names: list[str]) -> list[str]:
    lines = []
    if len(names) > 1 or rng.random() < 0.1:
        lines.append(f'material = "{rng.choice([*names, "S355"])}"')
    if rng.random() < 0.3:
        lines.append(f"move = {pen.point(rng.uniform(-2, 2), rng.uniform(-2, 2))}")
    if rng.random() < 0.3:
        lines.append(f"rotate = {rng.choice([90, 45, 180, 12.5, 0, -90, 360])}")
    if rng.random() < 0.15:
        lines.append(f'mirror = "{pen.word("xy", "z")}"')
    if rng.random() < 0.3:
        lines.append(f'combine = "{pen.word(["add", "add", "cut", "embed"], ["join"])}"')
    return lines


def _outline(rng: random.Random, pen: _Pen, names: list[str]) -> list[str]:
    """A star, a grid walk or scattered points, with or without holes and arcs."""
    points = _ring(rng, pen, 0.0, 0.0, 1.0)
    lines = ["[[outline]]", f"points = {points}"]
    if rng.random() < 0.3:
        holes = [
            _ring(rng, pen, rng.uniform(-0.4, 0.4), rng.uniform(-0.4, 0.4), rng.uniform(0.02, 0.4))
            for _ in range(rng.choice([1, 1, 2, 3]))
        ]
        lines.append(f"holes = [{', '.join(holes)}]")
    if rng.random() < 0.1:
        lines.append(f"arcs_within = {pen.number(0.0, 0.1)}")
    return lines + _common(rng, pen, names)


def _ring(rng: random.Random, pen: _Pen, x: float, y: float, size: float) -> str:
    count = rng.choice([3, 4, 4, 5, 6, 8, 12, 40])
    kind = rng.random()
    rows = []
    for k in range(count):
        angle = 2 * math.pi * (k + rng.uniform(-0.3, 0.3)) / count
        if kind < 0.6:
            radius = size * rng.uniform(0.3, 1.0)
            at = (x + radius * math.cos(angle), y + radius * math.sin(angle))
        elif kind < 0.9:
            at = (x + size * rng.randint(-3, 3) / 3, y + size * rng.randint(-3, 3) / 3)
        else:
            at = (x + size * rng.uniform(-1, 1), y + size * rng.uniform(-1, 1))
        row = pen.point(*at)
        if rng.random() < 0.15:
            bulge = pen.word(["0.2", "-0.4", "1", "-0.1", "1e-9", "0.0"], ["1e7", "nan", "-3"])
            row = row[:-1] + f", {bulge}]"
        rows.append(row)
    if rng.random() < 0.05:
        rows.append(rows[0])
    return "[" + ", ".join(rows) + "]"


def _shape(rng: random.Random, pen: _Pen, names: list[str]) -> list[str]:
    """A parametric profile with dimensions that often fit together."""
    key = rng.choice(sorted(PROFILES))
    lines = ["[[shape]]", f'profile = "{key}"']
    for attribute in profile_attributes(key):
        if rng.random() < (0.03 if attribute.required else 0.6):
            continue
        if attribute.is_angle:
            lines.append(f"{attribute.ifc} = {rng.choice(['5', '0', '90', '-8', '1:6', '30'])}")
            continue
        name = attribute.ifc.lower()
        small = any(word in name for word in ("thickness", "radius", "girth"))
        low, high = (0.01, 0.12) if small else (0.5, 2.0)
        lines.append(f"{attribute.ifc} = {pen.number(low, high)}")
    return lines + _common(rng, pen, names)


def _rolled(rng: random.Random, pen: _Pen, names: list[str]) -> list[str]:
    shape = rng.choice(search()).designation
    if rng.random() < 0.1:
        shape = shape[:-1]
    return ["[[shape]]", f'shape = "{shape}"', *_common(rng, pen, names)]


def _plates(rng: random.Random, pen: _Pen, names: list[str]) -> list[str]:
    """A box, a tee, a ring or loose plates, with welds of all kinds."""
    lines: list[str] = []
    t = rng.choice([0.04, 0.08, 0.1])
    layout = rng.random()
    if layout < 0.4:
        runs = [
            [(-1, 1), (1, 1)],
            [(0.7, 1), (0.7, -1)],
            [(1, -1), (-1, -1)],
            [(-0.7, -1), (-0.7, 1)],
        ]
    elif layout < 0.7:
        runs = [[(-1, 0), (1, 0)], [(0, 0), (0, -1.5)]]
    elif layout < 0.85:
        runs = [[(-1, 0), (-1, 1), (1, 1), (1, 0)]]
    else:
        runs = [
            [(rng.uniform(-1, 1), rng.uniform(-1, 1)) for _ in range(rng.choice([2, 2, 3]))]
            for _ in range(rng.choice([1, 2, 3]))
        ]
    called = [f"p{k}" for k in range(len(runs))]
    for name, run in zip(called, runs, strict=True):
        points = ", ".join(pen.point(x, y) for x, y in run)
        lines += ["[[plate]]", f'name = "{name}"', f"points = [{points}]"]
        lines.append(
            f"thickness = {pen.number(t, t)}" if rng.random() > 0.1 else "thickness = [8, 4]"
        )
        if len(run) > 2 and rng.random() < 0.5:
            lines.append(f"bend_radius = {pen.number(0.01, 0.2)}")
        if rng.random() < 0.1:
            lines.append(f"closed = {pen.word(['true', 'false'], ['1', '[]'])}")
        if rng.random() < 0.1:
            lines.append(f'line = "{pen.word(["left", "right", "centre"], ["middle"])}"')
        if rng.random() < 0.1:
            lines.append(f'corner = "{pen.word(["mitre", "lap"], ["overlap"])}"')
        if len(names) > 1:
            lines.append(f'material = "{rng.choice(names)}"')
    for k in range(rng.choice([0, 1, 2, 3, 4])):
        pair = rng.sample(called, 2) if len(called) > 1 else [called[0], called[0]]
        lines += ["[[weld]]", f'name = "w{k}"', f'between = ["{pair[0]}", "{pair[1]}"]']
        kind = pen.word(["fillet", "full", "partial"], ["spot"])
        if kind == "fillet":
            lines.append(f"leg = {pen.number(0.02, 0.08)}")
        else:
            lines.append(f'kind = "{kind}"')
        if kind == "partial":
            lines.append(f"depth = {pen.number(0.005, 0.05)}")
        if rng.random() < 0.3:
            lines.append(f"near = {pen.point(rng.uniform(-1, 1), rng.uniform(-1, 1))}")
        if rng.random() < 0.2:
            lines += [f"length = {pen.number(0.3, 0.5)}", f"pitch = {pen.number(0.4, 1.0)}"]
    return lines
