"""Stresses of a joint by statics alone, each beside the form by which codes judge it.

No resistance is computed: the forms are recalled, not read, and a code's limits, factors and
conditions belong to them. The forms tell which stress meets which strength.
"""

from __future__ import annotations

from dataclasses import dataclass

from .sharing import BoltShare, JointShare, PlateCutStress, WeldShare


@dataclass(frozen=True, slots=True)
class PlainStress:
    """One stress of a joint.

    Attributes
    ----------
    what, where : str
    stress : float
        MPa; a friction coefficient where `unit` is "".
    strength : float or None
        Ultimate strength of the part it stands in, as given (MPa).
    form : str
        By which codes judge it, from memory.
    unit : "stress" or ""
    """

    what: str
    where: str
    stress: float
    strength: float | None
    form: str
    unit: str = "stress"


_BOLT_SHEAR = "EN 1993-1-8 Table 3.4: α_v f_ub A/γ_M2; AISC 360 J3.6: F_nv A_b"
_BOLT_TENSION = "EN 1993-1-8 Table 3.4: 0.9 f_ub A_s/γ_M2; AISC 360 J3.6: F_nt A_b; add prying"
_BEARING = "EN 1993-1-8 Table 3.4: k_1 α_b f_u d t/γ_M2; AISC 360 J3.10: 1.2 l_c t F_u"
_NET = "EN 1993-1-1 6.2.3: 0.9 A_net f_u/γ_M2; AISC 360 J4; both: block shear"
_WELD = "EN 1993-1-8 4.5.3.3: f_u/(√3 β_w γ_M2); AISC 360 J2.4: 0.60 F_EXX (1 + 0.5 sin^1.5 θ)"
_FIN = "von Mises with the plate's yield strength; long fins may buckle sideways"
_FRICTION = "preload 0.7 f_ub A_s; EN 1993-1-8 3.9: k_s n μ F_p,C/γ_M3; AISC 360 J3.8"
#: Preload as a share of tensile strength times stress area, EN 1993-1-8 3.6.1 (from memory).
_PRELOAD = 0.7


def plain_stresses(found: JointShare) -> tuple[PlainStress, ...]:
    """Stresses of bolts, plies, plates and welds under one set of actions."""
    rows: list[PlainStress] = []
    for bolts in found.bolts:
        rows += _of_bolts(bolts)
    for cut in found.cuts:
        rows += _of_cut(cut, found.detail.ultimate)
    for weld in found.welds:
        rows.append(_of_weld(weld, found.detail.ultimate))
    return tuple(rows)


def _of_bolts(bolts: BoltShare) -> list[PlainStress]:
    place, bolt = bolts.place, bolts.place.bolt
    shear, tension = float(bolts.shear.max()), float(bolts.tension.max(initial=0.0))
    rows = []
    if shear > 0:
        stress = shear / place.planes / bolt.stress_area
        plane = "plane" if place.planes == 1 else "planes"
        where = f"{place.name}, {place.planes} {plane}, threads in it"
        rows.append(PlainStress("bolt shear", where, stress, bolt.tensile, _BOLT_SHEAR))
    if tension > 0:
        stress = tension / bolt.stress_area
        rows.append(
            PlainStress("bolt tension, without prying", place.name, stress, bolt.tensile,
                        _BOLT_TENSION)
        )  # fmt: skip
    if shear > 0:
        for ply in place.plies:
            stress = shear / (bolt.diameter * ply.thickness)
            rows.append(
                PlainStress("bearing", f"{ply.name} at {place.name}", stress, ply.ultimate,
                            _BEARING)
            )  # fmt: skip
    if place.fit == "preloaded" and shear > 0:
        preload = _PRELOAD * bolt.tensile * bolt.stress_area
        left = place.planes * (preload - tension)
        if left > 0:
            rows.append(
                PlainStress("friction coefficient needed", place.name, shear / left, None,
                            _FRICTION, "")
            )  # fmt: skip
    return rows


def _of_cut(cut: PlateCutStress, ultimate: float) -> list[PlainStress]:
    form = _NET if cut.cut.holes else _FIN
    name = cut.cut.name
    rows = [
        PlainStress("bending and axial force", name, cut.normal, ultimate, form),
        PlainStress("mean shear", name, cut.mean_shear, ultimate, form),
        PlainStress("torsion", name, cut.torsion, ultimate, _FIN),
    ]
    return [row for row in rows if row.stress > 1e-9 * ultimate]


def _of_weld(weld: WeldShare, ultimate: float) -> PlainStress:
    return PlainStress("weld, over the throat", weld.place.name, weld.largest, ultimate, _WELD)
