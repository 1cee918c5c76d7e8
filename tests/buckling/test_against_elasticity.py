"""Half-waves of nine sections beside 3D elasticity by a general finite-element library (quadratic
hexahedra of scikit-fem; `benchmarks/buckling`, whose finer mesh still lowers its values by what
`change` says)."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from soapfilm.solver.section.buckling.pencil import WavePencil
from soapfilm.solver.section.buckling.prepared import prepared
from soapfilm.solver.section.buckling.prestress import prestress

from benchmarks.buckling.cases import CASES, Case

ROWS = json.loads(
    (Path(__file__).parents[2] / "benchmarks" / "buckling" / "reference.json").read_text()
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_factors_of_half_waves(case: Case) -> None:
    ready = prepared(case.section())
    modulus, (mean, by_x, by_y) = 210e3, case.strain

    def stress(spots):  # type: ignore[no-untyped-def]
        x, y = spots.points[..., 0], spots.points[..., 1]
        return modulus * (mean + by_x * x + by_y * y), None

    pencil = WavePencil(ready.matrices, prestress(ready.fields, stress))
    rows = [row for row in ROWS if row["case"] == case.name]
    assert [row["half_wavelength"] for row in rows] == list(case.half_wavelengths)
    for row in rows:
        found = pencil.lowest(np.pi / row["half_wavelength"], 3)[0][0]
        assert row["change"] < 5e-3
        assert found == pytest.approx(row["factor"], rel=1e-2)
