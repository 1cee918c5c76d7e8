"""What the table of a size tells, as one line."""

from __future__ import annotations

from soapfilm.report.study.size_table import size_table
from soapfilm.solver.study.choice.setting import request_of
from soapfilm.solver.study.choice.sizing import SizeResult


def told(result: SizeResult) -> str:
    """Its words with single spaces between them."""
    units = request_of(result.sizing.setting.member, 1e-3).units
    return " ".join(size_table(result, units).split())
