"""The package's own factors of the half-waves that 3D elasticity has solved."""

from __future__ import annotations

import numpy as np
from soapfilm.solver.section.buckling.pencil import WavePencil
from soapfilm.solver.section.buckling.prepared import prepared
from soapfilm.solver.section.buckling.prestress import prestress
from soapfilm.solver.section.deforming.elasticity.fields import Spots

from .cases import Case

#: Young's modulus of all cases, N/mm^2.
MODULUS = 210e3


def our_factors(case: Case) -> list[float]:
    """The lowest factor at every half-wavelength of a case."""
    mean, by_x, by_y = case.strain

    def stress(spots: Spots) -> tuple[np.ndarray, None]:
        x, y = spots.points[..., 0], spots.points[..., 1]
        return MODULUS * (mean + by_x * x + by_y * y), None

    ready = prepared(case.section())
    pencil = WavePencil(ready.matrices, prestress(ready.fields, stress))
    return [float(pencil.lowest(np.pi / a, 3)[0][0]) for a in case.half_wavelengths]
