"""The cross-section solver: torsion constant with a guaranteed interval, warping, properties,
stress."""

from ..accuracy import ACCURACY
from .result import SectionResult, SolverReport
from .solve import solve_section
from .torsion.adaptive import Limits
from .torsion.cells import Cell

__all__ = ["ACCURACY", "Cell", "Limits", "SectionResult", "SolverReport", "solve_section"]
