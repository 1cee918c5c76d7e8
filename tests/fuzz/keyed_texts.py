"""Random member, joint, study and size files: a sound part, and tables by the description of keys.

The sound part alone is valid. What is added to it is drawn from `geometry/keys`, so a new table or
key is tried without a word here; half of the files have slips.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from soapfilm.geometry.keys.description import Key, Table, file_kind

from .section_texts import SLIPS

#: Values by what a key holds, beside the key's own example.
_VALUES: Mapping[str, Sequence[str]] = {
    "length": ("50", '"120 mm"', '"0.4 m"', '"3 in"', "8"),
    "angle": ('"1 deg"', "2", '"0.02 rad"', '"1:20"'),
    "number": ("1", "0.3", "10", "2"),
    "whole number": ("1", "2", "3"),
    "true or false": ("true", "false"),
    "position": ('"1 m"', '"0.6 m"', '"middle"', '"start"', '"end"', '"end of span 1"'),
    "positions": ('"1 m"', '"middle"', '["0.5 m", "1.5 m"]', '"start"', '"end of span 1"'),
    "point": ("[0, 0]", "[40, -30]", '"tip"', '"top"', '"right face"', '"shear centre"'),
    "freedom": ('"held"', '"free"'),
}
#: What a key must name to mean something in the sound part.
_NAMES: Mapping[str, Sequence[str]] = {
    "support.joint": ('"end plate"',),
    "secondary_beam.joint": ('"fin"',),
    "settlement.support": ('"left"', '"right"'),
    "combination.factors": ("{ dead = 1.35, live = 1.5 }", "{ dead = 1.0 }", "{ people = 1.0 }"),
    "combination.patterns": ("{ live = 1.5 }",),
    "limit.combinations": ('["dead"]', '["strength"]'),
    "code.combinations": ('["dead"]',),
    "case.name": ('"dead"', '"live"'),
    "case.not_with": ('["dead"]',),
    "braking.of": ('"people"', '"cart"'),
    "crowd.name": ('"people"',),
    "vehicle.name": ('"cart"',),
    "vehicle.lines": ("[[0, 0]]", '["tip"]'),
    "vehicle.lanes": ('["north"]',),
    "segment.section": ('"a"', '"b"'),
    "segment.taper_to": ('"b"',),
    "shrinkage.of": ('"steel"', '"S355"'),
    "stage.cases": ('["dead"]', '["live"]', "[]"),
    "stage.without": ('["left"]', "[]"),
    "stage.sections": ("{ a = \"b\" }",),
    "load.case": ('"dead"', '"live"'),
    "analysis.accuracy": ("1e-3", "1e-4"),
    "analysis.stations": ("20", "40"),
    "parameter.sets": ('"box.XDim"', '"box.WallThickness"', '["box.YDim"]'),
    "parameter.values": ("[90, 110]", "[8]", '["100 mm", "5 in"]'),
    "parameter.steps": ("2", "3"),
    "study.count": ("2", "4"),
    "study.section": ('"tube.toml"', '"none.toml"'),
    "study.member": ('"edge.toml"',),
    "size.replaces": ('"a"', '"b"'),
    "size.section": ('"tube.toml"',),
    "size.wanted": ("1", "2"),
    "case.joint": ('"fin"', '"end plate"'),
}  # fmt: skip
#: What a table is little without, beside the keys it needs.
_SENSE: Mapping[str, Sequence[str]] = {
    "support": ("at", "kind"),
    "spring": ("at", "twist"),
    "secondary_beam": ("at", "I"),
    "deck": ("twist",),
    "diaphragm": ("at",),
    "load": ("case", "weight", "place"),
    "mass": ("at",),
    "temperature": ("uniform",),
    "settlement": ("down",),
    "combination": ("factors",),
    "case": ("kind", "V"),
    "limit": ("twist",),
    "vehicle": ("axles", "lines"),
    "crowd": ("pressure",),
    "span": ("length",),
    "hinge": ("kind",),
    "parameter": ("values",),
    "joint": ("bolt", "grade", "rows", "pitch", "arm", "end_distance", "side_distance", "weld"),
}
_SECTIONS = (
    'shape = "HEB200"\nmaterial = "S355"',
    'shape = "UPN200"\nmaterial = "S235"\nmove = [10, 20]',
    '[[section.{n}.shape]]\nname = "box"\nmaterial = "S355"\nprofile = "RectangleHollow"\n'
    "XDim = 100\nYDim = 200\nWallThickness = 8",
    '[[section.{n}.shape]]\nmaterial = "S355"\nprofile = "I"\nOverallDepth = 240\n'
    "OverallWidth = 120\nWebThickness = 7\nFlangeThickness = 11",
    '[[section.{n}.outline]]\nmaterial = "S355"\npoints = [[-60, -90], [60, -90], [60, 90], '
    "[-60, 90]]\nholes = [[[-52, -82], [-4, -82], [-4, 82], [-52, 82]], [[4, -82], [52, -82], "
    "[52, 82], [4, 82]]]",
    '[[section.{n}.outline]]\nmaterial = "S355"\npoints = [[-50, -100], [50, -100], [50, 0], '
    '[-50, 0]]\n[[section.{n}.outline]]\nmaterial = "C30/37"\npoints = [[-150, 0], [150, 0], '
    "[150, 60], [-150, 60]]",
    'E = "210 GPa"\nG = "81 GPa"\nA = "4000 mm^2"\nI_x = "20e6 mm^4"\nI_y = "8e6 mm^4"\n'
    'J = "9e6 mm^4"\nC_w = "1e9 mm^6"\nmass = "31 kg/m"\nwidth = 100',
)
_JOINTS = """
[[joint]]
name = "fin"
kind = "fin plate"
bolt = "M20"
grade = "8.8"
rows = 3
pitch = 60
arm = 60
end_distance = 40
side_distance = 40
thickness = 10
weld = 6
ultimate = "430 MPa"
beam_web = 6.2
[[joint]]
name = "end plate"
kind = "end plate"
bolt = "M20"
grade = "8.8"
rows = 2
pitch = 90
gauge = 80
end_distance = 45
side_distance = 40
thickness = 15
weld = 6
ultimate = "430 MPa"
support_thickness = 15
beam_web = 7
"""


def keyed_text(rng: random.Random, kind: str, *, plain: bool = False) -> str:
    """The text of a file of a kind: "member", "joint", "study" or "size"; `plain`: its sound part
    alone."""
    pen = _Pen(rng, kind, rng.choice([0.0, 0.1]))
    top, rest = {"member": _member, "joint": _joint, "study": _study, "size": _size}[kind](rng)
    if plain:
        return "\n".join([*top, *rest]) + "\n"
    more = [t for t in file_kind(kind).tables if t.form in ("single", "list")]
    for table in rng.choices(more, k=rng.choice([0, 1, 1, 1, 2, 3])):
        if table.form == "list" or not any(r.startswith(f"[{table.name}]") for r in rest):
            rest.append(pen.table(table))
    return "\n".join([*top, *pen.top(), *rest]) + "\n"


class _Pen:
    """Writes keys and their values, and slips instead of them now and then."""

    def __init__(self, rng: random.Random, kind: str, slips: float) -> None:
        self.rng, self.kind, self.slips = rng, kind, slips

    def top(self) -> list[str]:
        """Now and then a key of the whole file."""
        own = [k for k in file_kind(self.kind).named("").keys if k.name not in ("unit", "member")]
        return [self.line(self.kind, self.rng.choice(own))] if self.rng.random() < 0.2 else []

    def table(self, table: Table) -> str:
        """A table: what it needs, and some of what it may have."""
        share = self.rng.choice([0.0, 0.1, 0.3])
        sense = _SENSE.get(table.name, ()) if self.rng.random() < 0.9 else ()
        keys = [k for k in table.keys if k.needed or k.name in sense or self.rng.random() < share]
        return "\n".join([table.heading, *(self.line(table.name, key) for key in keys)])

    def line(self, table: str, key: Key) -> str:
        """A key and its value."""
        return f"{key.name} = {self.value(table, key)}"

    def value(self, table: str, key: Key) -> str:
        """What a key may hold, or nearly."""
        if self.rng.random() < self.slips:
            return self.rng.choice(SLIPS)
        named = _NAMES.get(f"{table}.{key.name}")
        if named:
            return self.rng.choice(named)
        if key.choices:
            return f'"{self.rng.choice(key.choices)}"'
        pool = [*_VALUES.get(key.holds, ()), *([key.example] * 2 if key.example else [])]
        return self.rng.choice(pool or ["1", '"x"'])


def _member(rng: random.Random) -> tuple[list[str], list[str]]:
    """A member that stands: one to three spans, sections, supports at all their ends, loads."""
    change = rng.random()
    spans = 1 if change < 0.25 else rng.choice([1, 1, 2, 3])  # steps of many spans take minutes
    rest = ["[points]\ntip = [50, 90]"]
    for n in "ab":
        rest.append(f"[section.{n}]\n{rng.choice(_SECTIONS).format(n=n)}")
    for _ in range(spans):
        curve = rng.choice(["", "", 'radius = "30 m"', 'radius = "-25 m"'])
        rest.append(f'[[span]]\nlength = "{rng.uniform(2, 6):.2f} m"\n{curve}')
    rest.append('[[segment]]\nsection = "a"')
    if change < 0.15:
        rest[-1] += '\nto = "1.2 m"'
        rest.append('[[segment]]\nsection = "b"')
    elif change < 0.25:
        rest[-1] += '\ntaper_to = "b"'
    ends = ["start", *(f"start of span {k + 1}" for k in range(1, spans)), "end"]
    names = ["left", *(f"pier {k}" for k in range(1, spans)), "right"]
    for name, at in zip(names, ends, strict=True):
        kind = rng.choice(['kind = "fork"', 'kind = "fork"', 'kind = "fixed"',
                           'kind = "bearing pair"\nspacing = 80\nholds_down = true'])  # fmt: skip
        rest.append(f'[[support]]\nname = "{name}"\nat = "{at}"\n{kind}')
    rest.append('[[load]]\ncase = "dead"\nweight = "4 kN/m"\nplace = "tip"')
    if rng.random() < 0.6:
        rest.append(
            '[[load]]\ncase = "live"\nat = "1.1 m"\nweight = "9 kN"\nplace = "tip"\nT = "0.4 kN*m"'
        )
    if rng.random() < 0.3:
        rest.append(_JOINTS)
    return ['unit = "mm"'], rest


def _joint(rng: random.Random) -> tuple[list[str], list[str]]:
    case = '[[case]]\nname = "crowd"\nV = "40 kN"\nF_x = "3 kN"\nM_z = "0.4 kN*m"'
    return ['unit = "mm"'], [_JOINTS, case]


def _study(rng: random.Random) -> tuple[list[str], list[str]]:
    member = rng.random() < 0.4
    sets, low, high = rng.choice([("box.XDim", 90, 120), ("box.WallThickness", 5, 9)])
    if member:
        addresses = [(f"section.a.shape.1.{sets[4:]}", low, high), ("span.1.length", 3000, 4000)]
        sets, low, high = rng.choice(addresses)
    values = rng.choice([f"values = [{low}, {high}]", f"from = {low}\nto = {high}\nsteps = 2"])
    file = 'member = "edge.toml"' if member else 'section = "tube.toml"'
    return [file], [f'[[parameter]]\nname = "first"\nsets = "{sets}"\n{values}']


def _size(rng: random.Random) -> tuple[list[str], list[str]]:
    if rng.random() < 0.5:
        return ['member = "edge.toml"'], ['[catalogue]\nfamilies = ["HSS"]\nmaterial = "S355"']
    parameter = '[[parameter]]\nname = "wall"\nsets = "box.WallThickness"\nvalues = [6, 8, 10]'
    return ['member = "edge.toml"', 'section = "tube.toml"'], [parameter]


#: What files name, beside the bundled examples; two of them each other and whatever is tried.
COMPANIONS: Mapping[str, str] = {
    "tube.toml": 'unit = "mm"\n[[shape]]\nname = "box"\nmaterial = "S355"\n'
    'profile = "RectangleHollow"\nXDim = 100\nYDim = 200\nWallThickness = 8\n',
    "edge.toml": 'unit = "mm"\n[section.a]\n[[section.a.shape]]\nname = "box"\n'
    'material = "S355"\nprofile = "RectangleHollow"\nXDim = 100\nYDim = 200\nWallThickness = 8\n'
    '[[span]]\nlength = "4 m"\n[[support]]\nat = ["start", "end"]\nkind = "fork"\n'
    '[[load]]\nweight = "5 kN/m"\nplace = [90, 0]\n[[limit]]\ntwist = "1 deg"\n',
    "loop.toml": 'unit = "mm"\n[[drawing]]\nfile = "ring.toml"\n[[drawing]]\nfile = "a.toml"\n',
    "ring.toml": 'member = "loop.toml"\nsection = "fuzzed.toml"\n[[span]]\nlength = "3 m"\n'
    '[section.a]\nfile = "loop.toml"\n[section.b]\nfile = "fuzzed.toml"\n',
}
