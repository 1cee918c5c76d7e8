"""The cross-section solver: torsion constant with a guaranteed interval, warping, properties,
stress."""

from .adaptive import Limits
from .result import Cell, SectionResult, SolverReport
from .solve import ACCURACY, solve_section

__all__ = ["ACCURACY", "Cell", "Limits", "SectionResult", "SolverReport", "solve_section"]
