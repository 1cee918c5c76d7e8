"""Derivatives of one random section beside central differences of sections solved anew, on meshes of
their own and far finer than asked for; see `pay_texts` for the files."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from soapfilm.geometry.errors import SoapfilmError
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.stress.actions import Actions
from soapfilm.solver.section.stress.load_cases import solve_stress
from soapfilm.solver.study.derivative.file_number import FileNumber
from soapfilm.solver.study.derivative.section_pay import NumberPay, SectionPay, section_pay
from soapfilm.solver.study.file.section_base import SectionBase
from soapfilm.solver.study.run.properties import Properties
from soapfilm.stress_cases import acting_cases

#: Steps of the reference from the value, and weights of a difference of sixth order and of fourth.
STEPS = (-3, -2, -1, 1, 2, 3)
SIXTH = np.array([-1, 9, -45, 45, -9, 1]) / 60
FOURTH = np.array([0, 1, -8, 8, -1, 0]) / 12
#: Accuracy of the reference, and its largest step by the number and by the section's size.
FINE, STEP, BY_SIZE = 1e-9, 4e-3, 5e-4
#: Change of stresses between orders asked of the reference.
SETTLED = 1e-5
#: Elasticities of what the outline gives without a field are exact to this.
ROUNDING = 1e-8
_LENGTHS = (
    "centroid_x", "centroid_y", "shear_centre_x", "shear_centre_y", "polar_radius",
    "monosymmetry_x", "monosymmetry_y",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Compared:
    """A derivative beside its reference, all times the number by the value's size: elasticities."""

    family: str
    seed: int
    number: str
    result: str
    ours: float
    reference: float
    doubt: float
    reference_doubt: float
    words: str = ""

    @property
    def ratio(self) -> float:
        """Error by both doubts."""
        return abs(self.ours - self.reference) / (self.doubt + self.reference_doubt + 1e-300)


def _values(base: SectionBase, number: FileNumber, value: float, cases: tuple[Actions, ...]):  # type: ignore[no-untyped-def]
    """(numbers, their doubts) of a section solved anew with a number changed."""
    result = solve_section(base.section(number.assigned(value)), FINE)
    values: dict[str, float] = {}
    doubts: dict[str, float] = {}
    if cases:
        stress = solve_stress(result, cases, settled=SETTLED)
        for n, case in enumerate(stress.cases):
            top = max(abs(e.value) for e in case.extremes)
            for e in case.extremes:
                name = f"{n} {e.component} {e.side:+d}"
                values[name] = e.value
                doubts[name] = max(e.change * abs(e.value), 1e-9 * top)
    record = Properties.of(result).record()
    for name, one in record.items():
        if isinstance(one, (int, float)) and not isinstance(one, bool):
            values[name] = float(one)
    width = result.field.relative_width
    w = result.warping_properties
    doubts["torsion_constant"] = width * result.torsion_constant
    doubts["warping_constant"] = w.open_part * w.warping_constant
    for name in ("shear_centre_x", "shear_centre_y", "polar_radius"):
        doubts[name] = width * w.polar_radius
    for name in ("monosymmetry_x", "monosymmetry_y"):
        doubts[name] = 2 * width * w.polar_radius
    modulus = result.torsion_modulus
    for name in ("torsion_modulus", "torsion_modulus_away"):
        doubts[name] = modulus.doubt * values.get(name, 0.0)
    return values, doubts


def compared(family: str, seed: int, text: str, numbers: tuple[str, ...],
             actions: Mapping[str, str], accuracy: float = 1e-5) -> list[Compared]:  # fmt: skip
    """All derivatives of a file beside their references."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "section.toml")
        path.write_text(text)
        base = SectionBase.from_file(path)
        cases = acting_cases(None, dict(actions), "actions", base.unit) if actions else ()
        pay = section_pay(base, numbers, accuracy, cases)
        found: list[Compared] = []
        for one in pay.numbers:
            if one.rate is None:
                found.append(Compared(family, seed, one.number.name, "none", 0, 0, 0, 0, one.reason))
                continue
            found += _number(family, seed, base, pay, one, cases)
        return found


def _number(family, seed, base, pay: SectionPay, one: NumberPay, cases):  # type: ignore[no-untyped-def]
    number = one.number
    size = pay.result.section.size()
    step = min(STEP * abs(number.value) or np.inf, BY_SIZE * size)
    try:
        each = [_values(base, number, number.value + k * step, cases) for k in STEPS]
        here = _values(base, number, number.value, cases)
    except SoapfilmError as error:
        return [Compared(family, seed, number.name, "reference", 0, 0, 0, 0, str(error))]
    assert one.rate is not None
    found = []

    def told(name, ours, doubt, words="", side=0):  # type: ignore[no-untyped-def]
        values = np.array([v.get(name, np.nan) for v, _ in each])
        six, four = (float(w @ values) / step for w in (SIXTH, FOURTH))
        noise = float(np.abs(SIXTH) @ np.array([d.get(name, 0.0) for _, d in each])) / step
        centre = here[0].get(name, np.nan)
        if side:  # one-sided, of third order
            a = values[3:] if side > 0 else values[2::-1]
            six = side * float(-11 * centre + 18 * a[0] - 9 * a[1] + 2 * a[2]) / (6 * step)
            four = side * float(-3 * centre + 4 * a[0] - a[1]) / (2 * step)
            noise *= 4
        off = abs(six - four) + noise + 1e-11 * abs(centre) / step
        # by the result's size; places and what vanishes by the section's
        least = 1e-6 * size
        if name == "product_moment":
            least = here[0]["second_moment_major"]
        elif name in _LENGTHS:
            least = size
        scale = abs(number.value or size) / max(abs(centre), least)
        off += ROUNDING / scale
        found.append(Compared(family, seed, number.name, name, ours * scale, six * scale,
                              doubt * scale, off * scale, words))  # fmt: skip

    for name, rate in one.rate.rates.items():
        if name in here[0] and name in pay.properties or name in ("shear_centre_x", "shear_centre_y"):
            told(name, rate, one.rate.doubts.get(name, 0.0), "tie" if one.rate.others else "")
    for stress, rates in zip(pay.stresses, one.stresses, strict=bool(one.stresses)):
        if rates is None:
            continue
        n = [c.name for c in cases].index(stress.actions.name)
        name = f"{n} {stress.component.key if hasattr(stress.component, 'key') else stress.extreme.component} {stress.side:+d}"
        soon = rates.taken_over()
        words = "soon" if soon is not None and abs(soon[1]) < 4 * step else ""
        if rates.smooth:
            told(name, stress.side * rates.rate, rates.doubt, words)
        else:
            told(name, stress.side * rates.rises, rates.each_doubt, words + "rises", 1)
            told(name, stress.side * rates.falls, rates.each_doubt, words + "falls", -1)
    return found
