"""Bolts, welds and stiffness of joints."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from soapfilm.solver.joint import component_stiffness as component
from soapfilm.solver.joint.bolt_group import vector_method
from soapfilm.solver.joint.bolt_size import bolt_of, strengths
from soapfilm.solver.joint.instantaneous_centre import centre_method
from soapfilm.solver.joint.weld_centre import directional_strength, weld_centre_method
from soapfilm.solver.joint.weld_group import line_forces, line_moments

from .figure import Figure, figures
from .formulas import joint_code_forms as forms
from .registry import Found, Topic

Array = NDArray[np.float64]
_INCH, _KSI = 25.4, 6.894757293168361

GROUPS = Topic(
    "Bolt and weld groups",
    "Published coefficients of eccentrically loaded groups. The curves of load and deformation are "
    "recalled; printed digits of tables are two decimals.",
)
FORMS = Topic(
    "Bolts, holes and stiffness of joints",
    "Sizes and components that the program uses, and forms of codes, recalled, that it names but "
    "computes no resistance with.",
)
_KNOWN = figures()
_CENTRED = {n: f for n, f in _KNOWN.items() if n.startswith(("ic_1col", "ic_2col", "ic_incl"))}
_PRINTED = {n: f for n, f in _CENTRED.items() if f.published != f.values}


def _bolts(figure: Figure) -> Array:
    i = figure.inputs
    rows, columns = i["bolts_per_column"], i["columns"]
    across, up = i.get("gauge_in", 3.0), i["pitch_in"]
    return np.array(
        [
            ((k - (columns - 1) / 2) * across, (j - (rows - 1) / 2) * up)
            for k in range(columns)
            for j in range(rows)
        ]
    )


def _load(figure: Figure, angle: str) -> tuple[tuple[float, float], float]:
    """Unit force and its moment about the centroid; the force points down and away."""
    i = figure.inputs
    a = math.radians(i[angle])
    force = (math.sin(a), -math.cos(a))
    return force, i.get("e_in", i.get("e_horizontal_in")) * force[1]


@GROUPS.check({n: f for n, f in _CENTRED.items() if n not in _PRINTED}, within=1e-8)
@GROUPS.check(_PRINTED, within=1e-8, published=0.01)
def bolts_about_their_centre(figure: Figure) -> Found:
    """C of a bolt group."""
    return Found.about(
        centre_method(_bolts(figure), *_load(figure, "angle_from_vertical_deg")).coefficient
    )


@GROUPS.check({n: f for n, f in _KNOWN.items() if n.startswith("el_")}, within=1e-8)
def elastic_bolts(figure: Figure) -> Found:
    """C of a bolt group by the elastic vector method."""
    force, moment = _load(figure, "angle_deg")
    return Found.about(1 / np.hypot(*vector_method(_bolts(figure), force, moment).T).max())


@GROUPS.check("ic_limit_small_e", within=1e-7)
def centred_load(figure: Figure) -> Found:
    """C at no eccentricity."""
    points = [(0.0, 3.0 * k) for k in range(figure.inputs["n"])]
    return Found.about(centre_method(points, (0.0, -1.0), 0.0).coefficient)


@GROUPS.check({n: f for n, f in _KNOWN.items() if n.startswith("ic_Cprime")}, within=1e-8)
def pure_moment(figure: Figure) -> Found:
    """C' of a column of bolts."""
    points = [(0.0, figure.inputs["pitch_in"] * k) for k in range(figure.inputs["n"])]
    return Found.about(centre_method(points, (0.0, 0.0), 1.0).coefficient)


def _shape(name: str, b: float, d: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    left, right = ((0.0, 0.0), (0.0, d)), ((b, 0.0), (b, d))
    bottom, top = ((0.0, 0.0), (b, 0.0)), ((0.0, d), (b, d))
    return {
        "line": [left],
        "two_vert": [left, right],
        "two_horiz": [bottom, top],
        "C": [left, bottom, top],
        "L": [left, bottom],
        "box": [left, right, bottom, top],
        "T": [((-b / 2, d), (b / 2, d)), left],
    }[name]


@GROUPS.check({n: f for n, f in _KNOWN.items() if n.startswith("weldJ_")}, within=1e-8)
def polar_moment(figure: Figure) -> Found:
    """Of weld lines about their centroid."""
    i = figure.inputs
    return Found.about(line_moments(_shape(i["shape"], i["b"], i["d"])).polar)


@GROUPS.check("weld_el_C", within=1e-8)
def elastic_weld(figure: Figure) -> Found:
    """Largest line force of the C-shaped weld."""
    i = figure.inputs
    lines = _shape("C", i["b"], i["d"])
    tips = [(i["b"], 0.0), (i["b"], i["d"])]
    moment = (0.0, 0.0, -i["e_from_centroid"])
    found = line_forces(lines, tips, (0.0, -1.0, 0.0), moment)
    return Found.about(np.linalg.norm(found, axis=1).max())


@GROUPS.check({n: f for n, f in _KNOWN.items() if n.startswith("weld_ic_")}, within=1e-5)
def weld_about_its_centre(figure: Figure) -> Found:
    """P over 0.60 F_EXX times the throat; the change when its pieces are doubled."""
    lines = np.array(figure.inputs["segments"], float).reshape(-1, 2, 2)
    moment = -figure.inputs["e_from_centroid"]
    coarse, fine = (
        weld_centre_method(lines, (0.0, -1.0), moment, n).coefficient for n in (200, 400)
    )
    return Found.about(fine, fine - coarse)


@FORMS.check({"inch_tensile_area": None}, within=1e-7, published=5e-3)
def inch_areas(_: object) -> Found:
    """Tensile stress areas of inch bolts."""
    sizes = ("1/2 in", "5/8 in", "3/4 in", "7/8 in", "1 in", "1 1/8 in", "1 1/4 in")
    return Found.several(bolt_of(s, "A325").stress_area / _INCH**2 for s in sizes)


@FORMS.check({"metric_As": None}, within=1e-7, published=3e-3)
def metric_areas(_: object) -> Found:
    """Tensile stress areas of metric bolts."""
    sizes = (12, 16, 20, 22, 24, 27, 30, 36)
    return Found.several(bolt_of(f"M{d}", "8.8").stress_area for d in sizes)


@FORMS.check({"iso898_strengths": None}, within=1e-12)
def classes(_: object) -> Found:
    """Tensile, then yield strength of the property classes."""
    found = [strengths(c) for c in ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9")]
    return Found.several([f for f, _ in found] + [y for _, y in found])


@FORMS.check({"pretension_120": "A325", "pretension_150": "A490"}, within=1e-7, published=0.03)
def pretension(grade: str) -> Found:
    """0.7 F_u A_t in kip."""
    sizes = ("1/2 in", "5/8 in", "3/4 in", "7/8 in", "1 in", "1 1/8 in", "1 1/4 in")
    bolts = [bolt_of(s, grade) for s in sizes]
    return Found.several(0.7 * b.tensile / _KSI * b.stress_area / _INCH**2 for b in bolts)


@FORMS.check({"iso898_loads": None}, within=1e-12, published=6e-3)
def ultimate_loads(_: object) -> Found:
    """Minimum ultimate loads by nominal areas."""
    i = _KNOWN["iso898_loads"].inputs
    rows = [*zip(i["As"], i["Rm_88"], strict=True), *((a, i["Rm_109"]) for a in i["As"])]
    return Found.several(a * r / 1e3 for a, r in rows)


@FORMS.check({"en1090_clear": None}, within=1e-12)
def clearances(_: object) -> Found:
    """Normal clearance of the program's holes; oversize holes and slots as the code adds them."""
    normal = [bolt_of(s, "8.8") for s in ("M12", "M20", "M24", "M30")]
    wider = (3, 4, 6, 8, 4, 6, 8, 10)  # oversize and short slots: the program has none of its own
    return Found.several([*(b.hole - b.diameter for b in normal), *wider])


@FORMS.check({"aisc_holes": None}, within=1e-9)
def inch_holes(_: object) -> Found:
    """Standard holes of the program; the others by the table's rule, long slots 2.5 d."""
    d = _KNOWN["aisc_holes"].inputs["d_in"]
    standard = [bolt_of(s, "A325").hole / _INCH for s in ("1/2 in", "5/8 in", "3/4 in", "7/8 in")]
    standard.append(bolt_of("1 in", "A325").hole / _INCH)
    others = [d[0] + 1 / 8, *(x + 3 / 16 for x in d[1:4]), d[4] + 1 / 4]
    short = [d[0] + 3 / 16, *(x + 1 / 4 for x in d[1:4]), d[4] + 5 / 16]
    return Found.several([*standard, *others, *short, *(2.5 * x for x in d)])


@FORMS.check("ep_one_row", within=1e-8)
def end_plate_one_row(figure: Figure) -> Found:
    """Coefficients k_1, k_2, k_3, k_4, k_5, k_10 and the stiffness in kNm/rad."""
    i = figure.inputs
    k = _coefficients(i, i["z_mm"], i["leff_col"], i["leff_plate"])
    return Found.several([*k, component.rotational_stiffness(i["E"], i["z_mm"], k) / 1e6])


def _coefficients(i: object, lever: float, column: float, plate: float) -> list[float]:
    i = _KNOWN["ep_one_row"].inputs
    return [
        component.panel_shear(i["Avc"], i["beta"], lever),
        component.web_force(i["beff_c_wc"], i["twc"], i["dc"]),
        component.web_force(column, i["twc"], i["dc"]),
        component.plate_bending(column, i["tfc"], i["m_col"]),
        component.plate_bending(plate, i["tp"], i["m_plate"]),
        component.bolts_tension(i["As"], i["Lb"]),
    ]


@FORMS.check("ep_two_rows", within=1e-8)
def end_plate_two_rows(figure: Figure) -> Found:
    """z_eq, k_eq and the stiffness."""
    i, modulus = figure.inputs, _KNOWN["ep_one_row"].inputs["E"]
    rows = [
        component.in_series(_coefficients(None, 1.0, c, p)[2:])
        for c, p in zip(i["leff_col"], i["leff_plate"], strict=True)
    ]
    k, z = component.equivalent_row(rows, i["h_mm"])
    panel, web = _coefficients(None, z, 1.0, 1.0)[:2]
    return Found.several((z, k, component.rotational_stiffness(modulus, z, [k, panel, web]) / 1e6))


@FORMS.check("finplate_bolts", within=1e-8)
def fin_plate_column(figure: Figure) -> Found:
    """Shear that a column of bolts holds by the elastic vector method."""
    i = figure.inputs
    points = [(0.0, i["p1_mm"] * k) for k in range(i["n"])]
    largest = np.hypot(*vector_method(points, (0.0, -1.0), -i["z_mm"]).T).max()
    return Found.about(i["FvRd_kN"] / largest)


@FORMS.check("shear_tab_ic", within=1e-8)
def shear_tab(figure: Figure) -> Found:
    """Shear that a column of bolts holds about its instantaneous centre."""
    i = figure.inputs
    points = [(0.0, i["pitch_in"] * k) for k in range(i["n"])]
    return Found.about(i["phi_rn"] * centre_method(points, (0.0, -1.0), -i["e_in"]).coefficient)


@FORMS.check("aisc_bolt_shear", within=1e-8, published=5e-3)
@FORMS.check("aisc_bolt_tension", within=1e-8, published=5e-3)
def american_bolt(figure: Figure) -> Found:
    """phi r_n in kip."""
    i = figure.inputs
    stress = i.get("Fnv_ksi", i.get("Fnt_ksi"))
    pairs = zip(stress, i["d_in"], strict=True)
    return Found.several(forms.american_strength(f, d, i["phi"]) for f, d in pairs)


@FORMS.check("ec_bolt_88", within=1e-9, published=5e-3)
def european_bolt(figure: Figure) -> Found:
    """F_v,Rd then F_t,Rd in kN."""
    i = figure.inputs
    shear = [forms.european_shear(i["av"], i["fub"], a, i["gM2"]) / 1e3 for a in i["As"]]
    return Found.several(
        [*shear, *(forms.european_tension(i["fub"], a, i["gM2"]) / 1e3 for a in i["As"])]
    )


@FORMS.check("ec_bolt_109", within=1e-9, published=5e-3)
def european_preload(figure: Figure) -> Found:
    """F_v,Rd, F_t,Rd and the preload in kN."""
    i = figure.inputs
    shear = forms.european_shear(0.5, i["fub"], i["As"], i["gM2"]) / 1e3
    tension = forms.european_tension(i["fub"], i["As"], i["gM2"]) / 1e3
    return Found.several((shear, tension, 0.7 * i["fub"] * i["As"] / 1e3))


@FORMS.check("weld_e70_line", within=1e-8, published=5e-3)
def fillet_per_sixteenth(figure: Figure) -> Found:
    """Design and allowable line strength per 1/16 in."""
    i = figure.inputs
    nominal = forms.fillet_line(i["FEXX"], 1 / 16)
    return Found.several((i["phi"] * nominal, nominal / i["omega"]))


@FORMS.check("weld_j1", within=1e-8, published=5e-3)
def fillet_nominal(figure: Figure) -> Found:
    """Nominal line strength."""
    return Found.about(forms.fillet_line(figure.inputs["FEXX"], figure.inputs["leg_in"]))


@FORMS.check({"weld_dir_ratio": None}, within=1e-8)
def directions(_: object) -> Found:
    """Transverse over longitudinal strength: EN by its two stresses, AISC by its factor."""
    stress = math.sqrt(0.5 + 3 * 0.5)  # normal and shear on the throat, each F/(a sqrt 2)
    return Found.several((math.sqrt(3) / stress, float(directional_strength(math.pi / 2))))


@FORMS.check("weld_ec_fvwd", within=1e-8, published=5e-3)
def european_weld(figure: Figure) -> Found:
    """f_vw,d in MPa."""
    i = figure.inputs
    return Found.several(
        forms.european_fillet(f, b, i["gM2"]) for f, b in zip(i["fu"], i["bw"], strict=True)
    )


@FORMS.check("ec_joint_class", within=1e-8)
def joint_class(figure: Figure) -> Found:
    """Limits of stiffness in kNm/rad."""
    i = figure.inputs
    return Found.several(s / 1e6 for s in forms.stiffness_limits(i["E"], i["I_mm4"], i["L"]))


@FORMS.check({"ec_stiff_ratio": None}, within=1e-8)
def stiffness_fall(_: object) -> Found:
    """mu by use, bolted end plate then flange cleats."""
    return Found.several(forms.stiffness_ratio(u, p) for p in (2.7, 3.1) for u in (0.6, 0.8, 1.0))


@FORMS.check("tstub_modes", within=1e-8)
def tee_stub(figure: Figure) -> Found:
    """Three modes in kN."""
    i = figure.inputs
    found = forms.tee_modes(i["leff"], i["tf"], i["fy"], i["m"], i["n"], i["sumFt_kN"] * 1e3)
    return Found.several(f / 1e3 for f in found)


@FORMS.check("slip_aisc", within=1e-8, published=5e-3)
def slip_load(figure: Figure) -> Found:
    """phi r_n of one slip plane in kip."""
    i = figure.inputs
    return Found.about(forms.american_slip(i["mu"], i["Du"], i["Tb"]))
