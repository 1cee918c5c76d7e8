"""The cross-section solver: torsion constant with a guaranteed interval, warping, properties,
stress."""

from ..accuracy import ACCURACY
from .result import Cell, SectionResult, SolverReport
from .solve import solve_section
from .torsion.adaptive import Limits

__all__ = ["ACCURACY", "Cell", "Limits", "SectionResult", "SolverReport", "solve_section"]
