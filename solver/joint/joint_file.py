"""Joint files: joints, and what acts on them.

::

    unit = "mm"

    [[joint]]                      # see `joint_table`
    name = "joist fin"
    kind = "fin plate"
    ...

    [[case]]
    name = "crowd"
    joint = "joist fin"            # left out: every joint of the file
    V = "60 kN"                    # downward at the bolts (at the arm of a seat), or F_y upward;
    F_x = "4 kN"                   # F_x away from the support, F_z across
    M_z = "0.5 kN*m"               # moments at the bolts: M_x turns y toward z, M_z x toward y
    at = "face"                    # forces and moments at the face of the support instead
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from os import PathLike
from pathlib import Path
from typing import Any

from ...geometry.errors import FileFormatError, InputError, UnitError
from ...geometry.input_file import name_of
from ...geometry.keys.joint_keys import FILE
from ...geometry.notebook_table import notebook_table
from ...geometry.plain_record import plain_record
from ...geometry.section_file.entry import Entry, naming
from ...geometry.section_file.kinds import JOINTS, MEMBER, refuse_other_kinds
from ...geometry.section_file.linked_numbers import linked
from ...geometry.section_file.text import parsed, read_text
from ...geometry.units import Units
from .detail import JointDetail
from .joint_actions import JointActions
from .joint_spec import JointSpec
from .joint_table import spec_of
from .library import joint_detail

FORCES = ("F_x", "F_y", "F_z")
MOMENTS = ("M_x", "M_y", "M_z")
_KEYS = (*(key.name for key in FILE.named("").keys), "joint", "case")


@dataclass(frozen=True, slots=True)
class JointCase:
    """What acts on a joint, as a file or a command line states it (N, N mm); `at_face` tells where.

    `joint` is the name of the one it acts on, "" for every joint.
    """

    name: str
    joint: str
    force: tuple[float, float, float]
    moment: tuple[float, float, float]
    at_face: bool

    def on(self, detail: JointDetail) -> JointActions:
        """The actions at the origin of a joint."""
        hinge = 0.0 if self.at_face else detail.hinge
        return JointActions.at_hinge(self.name, self.force, self.moment, hinge)


@dataclass(frozen=True, slots=True)
class JointFile:
    """Joints of a file with their cases.

    Attributes
    ----------
    name : str
    units : Units
        Of the file; the joints themselves are in mm, N and MPa.
    specs : tuple of JointSpec
    cases : tuple of JointCase
    """

    name: str
    units: Units
    specs: tuple[JointSpec, ...]
    cases: tuple[JointCase, ...]

    def spec(self, name: str) -> JointSpec:
        """The joint of a name; an error offers the nearest."""
        return named_spec(self.specs, name)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: joints and cases, in mm and N."""
        return {"format": "soapfilm joint input 1", **plain_record(self)}

    def __repr__(self) -> str:
        return f"JointFile({self.name!r}, {', '.join(s.name for s in self.specs)})"

    def _repr_html_(self) -> str:
        return notebook_table(self.name, [(s.name, "", s.kind) for s in self.specs])


def load_joints(path: str | PathLike[str]) -> JointFile:
    """The joints of a file.

    Raises
    ------
    FileFormatError, UnitError, InputError
        Every message starts with the path and names the table and the key.
    """
    file = Path(path)
    with naming(str(path)):
        if file.suffix.lower() != ".toml":
            raise FileFormatError(
                f"a joint file is TOML and ends in .toml, not {file.suffix[:20]!r}"
            )
        return joints_from_toml(read_text(file), name=name_of(file))


def joints_from_toml(text: str, *, name: str = "joints") -> JointFile:
    """The joints that the text of a joint file describes; a member file's own joints too."""
    table = parsed(text)
    table = linked(table, table.get("unit"))
    if not table.get("joint"):
        refuse_other_kinds(table, JOINTS, MEMBER)
    if "unit" not in table or not isinstance(table["unit"], str):
        raise UnitError('unit is missing; state the length unit at the top, like unit = "mm"')
    units = Units(table["unit"])
    member = "span" in table or "segment" in table
    for key in table:
        if key not in _KEYS and not member:
            near = get_close_matches(key, _KEYS, n=1)
            hint = f"did you mean {near[0]}?" if near else f"it has {', '.join(_KEYS)}"
            raise InputError(f"{key[:60]!r} is not a key of a joint file; {hint}")
    specs = specs_of(table, units)
    if not specs:
        raise InputError('there is no joint; write [[joint]] and below it kind = "fin plate"')
    cases = () if member else _cases(table, units, specs)
    title = table.get("name")
    return JointFile(title if isinstance(title, str) else name, units, specs, cases)


def specs_of(table: Mapping[str, Any], units: Units) -> tuple[JointSpec, ...]:
    """Joints of a file's tables; each is laid out once, so that its faults come out here."""
    rows = table.get("joint", [])
    if not isinstance(rows, list) or not all(isinstance(r, Mapping) for r in rows):
        raise InputError("joint: write it as a table in double brackets, [[joint]]")
    found: list[JointSpec] = []
    for n, row in enumerate(rows, 1):
        entry = Entry("joint", n, row, units)
        with naming(entry.label):
            spec = spec_of(entry)
            if spec.name in [s.name for s in found]:
                raise InputError(f"there is a joint {spec.name!r} already; give it another name")
        joint_detail(spec)
        found.append(spec)
    return tuple(found)


def named_spec(specs: Sequence[JointSpec], name: str) -> JointSpec:
    """The joint of a name.

    Raises
    ------
    InputError
        The nearest name, when there is none.
    """
    for spec in specs:
        if spec.name == name:
            return spec
    names = [s.name for s in specs]
    near = get_close_matches(name, names, n=1)
    known = f"there are {', '.join(names)}" if names else "the file has no [[joint]]"
    hint = f"did you mean {near[0]!r}?" if near else known
    raise InputError(f"there is no joint {name[:60]!r}; {hint}")


def case_of(entry: Entry, name: str) -> JointCase:
    """The actions of a table with keys V, F_x, ..., M_z and at."""
    units = entry.units
    newton, newton_mm = units.factor("force", "N"), units.factor("moment", "N*mm")
    force = [(entry.quantity(key, "force") or 0.0) * newton for key in FORCES]
    shear = entry.quantity("V", "force")
    if shear is not None:
        if entry.has("F_y"):
            raise InputError("give either V (downward) or F_y (upward), not both")
        force[1] = -shear * newton
    moment = [(entry.quantity(key, "moment") or 0.0) * newton_mm for key in MOMENTS]
    at = entry.choice("at", ("bolts", "face"), "bolts")
    joint = entry.text("joint")
    entry.close()
    if not any((*force, *moment)):
        raise InputError('nothing acts; write V = "60 kN" (or F_x, F_y, F_z, M_x, M_y, M_z)')
    return JointCase(
        name, joint, (force[0], force[1], force[2]), (moment[0], moment[1], moment[2]),
        at == "face",
    )  # fmt: skip


def _cases(
    table: Mapping[str, Any], units: Units, specs: Sequence[JointSpec]
) -> tuple[JointCase, ...]:
    rows = table.get("case", [])
    if not isinstance(rows, list) or not all(isinstance(r, Mapping) for r in rows):
        raise InputError("case: write it as a table in double brackets, [[case]]")
    found = []
    for n, row in enumerate(rows, 1):
        entry = Entry("case", n, row, units)
        with naming(entry.label):
            case = case_of(entry, entry.text("name", f"case {n}"))
            if case.joint:
                named_spec(specs, case.joint)
            found.append(case)
    return tuple(found)
