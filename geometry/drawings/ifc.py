"""Profile definitions of IFC files (ISO 16739) into strokes.

Parameterised profiles are built by `profiles`, arbitrary ones from their curves; voids, composite,
derived, mirrored and centre-line profiles included. Attribute orders are those of IFC4 and IFC2x3,
from memory of the standard.
"""

from __future__ import annotations

import math

import numpy as np

from ..errors import FileFormatError, InputError
from ..profiles.by_name import build_profile
from .bounds import MAX_DEPTH, MAX_ENTITIES, check_count
from .curves import elliptic_edges
from .ifc_curves import CurveReader, listed, number
from .ifc_derived import (
    CENTRE_LINE,
    DERIVED,
    MIRRORED,
    along_centre_line,
    mapped,
    operator_of,
)
from .scale import drawing_unit
from .step import Enum, Instance, Ref, StepFile
from .stroke import Array, Sheet, Stroke, printable

_I = (
    "OverallWidth OverallDepth WebThickness FlangeThickness FilletRadius FlangeEdgeRadius "
    "FlangeSlope"
)
_FLANGED = "Depth FlangeWidth WebThickness FlangeThickness FilletRadius"
#: Attributes after ProfileType, ProfileName and Position, in the order of the file.
ATTRIBUTES = {
    "ISHAPE": _I,
    "ASYMMETRICISHAPE": (
        "BottomFlangeWidth OverallDepth WebThickness BottomFlangeThickness "
        "BottomFlangeFilletRadius TopFlangeWidth TopFlangeThickness TopFlangeFilletRadius "
        "BottomFlangeEdgeRadius BottomFlangeSlope TopFlangeEdgeRadius TopFlangeSlope"
    ),
    "LSHAPE": "Depth Width Thickness FilletRadius EdgeRadius LegSlope",
    "USHAPE": f"{_FLANGED} EdgeRadius FlangeSlope",
    "ZSHAPE": f"{_FLANGED} EdgeRadius",
    "TSHAPE": f"{_FLANGED} FlangeEdgeRadius WebEdgeRadius WebSlope FlangeSlope",
    "CSHAPE": "Depth Width WallThickness Girth InternalFilletRadius",
    "RECTANGLE": "XDim YDim",
    "ROUNDEDRECTANGLE": "XDim YDim RoundingRadius",
    "RECTANGLEHOLLOW": "XDim YDim WallThickness InnerFilletRadius OuterFilletRadius",
    "CIRCLE": "Radius",
    "CIRCLEHOLLOW": "Radius WallThickness",
    "ELLIPSE": "SemiAxis1 SemiAxis2",
    "TRAPEZIUM": "BottomXDim TopXDim YDim TopXOffset",
}
#: IFC2x3 ends several profiles with the place of their centre of gravity, which follows from the
#: rest.
_OLD_COUNT = {"ASYMMETRICISHAPE": 8}
_ARBITRARY = ("IFCARBITRARYCLOSEDPROFILEDEF", "IFCARBITRARYPROFILEDEFWITHVOIDS")
_COMPOSITE = "IFCCOMPOSITEPROFILEDEF"
_SI = {None: "m", "MILLI": "mm", "CENTI": "cm"}
_CUSTOMARY = {"INCH": "in", "FOOT": "ft", "METRE": "m"}


def read_ifc(data: bytes, unit: str | None = None, profile: str | None = None) -> Sheet:
    """Strokes of one profile definition.

    Parameters
    ----------
    data : bytes
    unit : str, optional
        Instead of the file's own length unit.
    profile : str, optional
        ProfileName or instance ("#27") to read; may be left out when the file holds a single one.

    Raises
    ------
    FileFormatError
        If the file is damaged or the profile is of a kind that cannot be read.
    InputError
        If the profile is not there, or one of several must be chosen.
    UnitError
        If neither the file nor `unit` names the length unit.
    """
    file = StepFile(data)
    declared, angle = _units(file)
    unit, notes = drawing_unit(unit, declared, "it assigns no length unit")
    chosen = file[_choose(file, profile)]
    strokes = _profile(file, chosen, angle, 0)
    return Sheet(tuple(strokes), unit, notes=tuple(notes))


def _units(file: StepFile) -> tuple[str | None, float]:
    """Length unit and radians per plane angle unit of the file's (first) unit assignment."""
    length, angle = None, 1.0
    for assignment in file.of_type("IFCUNITASSIGNMENT")[:1]:
        owner = file[assignment]
        for item in listed((owner.values or [None])[0], owner):
            unit = file.follow(item, owner)
            kind = unit.values[1] if len(unit.values) > 3 else None
            if kind == Enum("LENGTHUNIT"):
                length = _length(unit)
            elif kind == Enum("PLANEANGLEUNIT") and unit.word == "IFCCONVERSIONBASEDUNIT":
                angle = math.pi / 180 if "DEG" in str(unit.values[2]).upper() else 1.0
    return length, angle


def _length(unit: Instance) -> str | None:
    if unit.word == "IFCSIUNIT":
        prefix = unit.values[2]
        word = prefix.word if isinstance(prefix, Enum) else None
        return _SI.get(word, f"{word} METRE".lower())
    return _CUSTOMARY.get(str(unit.values[2]).upper(), str(unit.values[2]))


def _choose(file: StepFile, wanted: str | None) -> int:
    """Number of the profile to read."""
    known = {f"IFC{word}PROFILEDEF" for word in ATTRIBUTES} | {
        *_ARBITRARY, _COMPOSITE, DERIVED, MIRRORED, CENTRE_LINE,
    }  # fmt: skip
    numbers = [number for number, word in file.types() if word in known]
    check_count(len(numbers), MAX_ENTITIES, "profile definitions")
    members = {
        item.number
        for n in numbers
        if file.word(n) in (_COMPOSITE, DERIVED, MIRRORED)
        for item in _members(file[n])
    }
    names = {n: f"#{n} {_name(file[n])}".strip() for n in numbers if n not in members}
    if not names:
        other = sorted({word for _, word in file.types() if word.endswith("PROFILEDEF")})
        raise FileFormatError(
            f"the file holds no profile that can be read{f' (it has {other[0]})' if other else ''}"
            "; export a parameterised or an arbitrary closed profile"
        )
    found = [n for n, name in names.items() if wanted in (None, f"#{n}", name.partition(" ")[2])]
    if len(found) == 1:
        return found[0]
    listing = ", ".join(list(names.values())[:12]) + (", ..." if len(names) > 12 else "")
    problem = "holds several profiles" if found else f"has no profile {wanted!r}"
    raise InputError(
        f"the file {problem}; choose one by its name or number, with --profile on the command line "
        f"or profile = in a [[drawing]]: {listing}"
    )


def _name(profile: Instance) -> str:
    name = profile.values[1] if len(profile.values) > 1 else None
    return printable(name)[:100] if isinstance(name, str) else ""


def _members(profile: Instance) -> list[Ref]:
    """The profiles that a composite or derived one is made of."""
    values = profile.values[2] if len(profile.values) > 2 else None
    if profile.word != _COMPOSITE:
        return [values] if isinstance(values, Ref) else []
    return [v for v in listed(values, profile) if isinstance(v, Ref)]


def _profile(file: StepFile, profile: Instance, angle: float, depth: int) -> list[Stroke]:
    check_count(depth, MAX_DEPTH, "nested profiles")
    curves = CurveReader(file, f"#{profile.number}", angle)
    v = profile.values
    if profile.word == _COMPOSITE:
        out: list[Stroke] = []
        for item in listed(v[2] if len(v) > 2 else None, profile):
            out += _profile(file, file.follow(item, profile), angle, depth + 1)
            check_count(len(out), 10_000, "curves in a composite profile")
        return out
    if profile.word in (DERIVED, MIRRORED) and len(v) > 3:
        parent = _profile(file, file.follow(v[2], profile), angle, depth + 1)
        return mapped(parent, operator_of(curves, profile))
    if profile.word == CENTRE_LINE and len(v) > 3:
        line = curves.strokes(v[2], profile)
        return along_centre_line(line, number(v[3], profile), f"#{profile.number}")
    if profile.word in _ARBITRARY and len(v) > 2:
        inner = (
            listed(v[3] if len(v) > 3 else None, profile) if profile.word == _ARBITRARY[1] else []
        )
        return [s for curve in (v[2], *inner) for s in curves.strokes(curve, profile)]
    word = profile.word.removeprefix("IFC").removesuffix("PROFILEDEF")
    if word not in ATTRIBUTES or len(v) < 4:
        raise FileFormatError(f"#{profile.number} {profile.word} is no profile that can be read")
    axes = curves.axes(v[2], profile)
    names = ATTRIBUTES[word].split()
    if "IFC2X" in file.schema:
        names = names[: _OLD_COUNT.get(word, len(names))]
    values = {
        name: number(value, profile) * (angle if name.endswith("Slope") else 1.0)
        for name, value in zip(names, v[3:], strict=False)
        if value is not None
    }
    return _parameterised(word, values, axes, f"#{profile.number}")


def _parameterised(
    word: str, values: dict[str, float], axes: tuple[Array, Array, Array], group: str
) -> list[Stroke]:
    """Closed strokes of a parameterised profile, placed in the plane by a turn and a move."""
    origin, x, y = axes
    if word == "ELLIPSE" and len(values) == 2:
        points, bulges, curves = elliptic_edges(
            origin, values["SemiAxis1"] * x, values["SemiAxis2"] * y, 0.0, 2 * math.pi
        )
        return [
            Stroke(
                points, bulges, group=group, source=f"{group} {word}", closed=True, curves=curves
            )
        ]
    outline, holes = build_profile(word, values)
    out = []
    for contour in (outline, *holes):
        points = origin + contour.points @ np.stack([x, y])
        closed = np.vstack([points, points[:1]])
        out.append(
            Stroke(closed, contour.bulges, group=group, source=f"{group} {word}", closed=True)
        )
    return out
