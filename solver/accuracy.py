"""How narrow J's interval is asked to be: relative widths."""

from __future__ import annotations

import numbers

from ..geometry.errors import InputError

#: When nothing is asked for; and in studies: a tenth of what drawings are built to.
ACCURACY, STUDY_ACCURACY = 1e-5, 1e-4
#: Rounding hides what is narrower; what is wider says nothing.
FINEST, WIDEST = 1e-11, 0.5


def check_width(width: float) -> None:
    """Raise if J's interval cannot be asked to have this width."""
    if isinstance(width, bool) or not isinstance(width, numbers.Real):
        raise InputError(f"accuracy is a number, like 1e-8, got {width!r}")
    if not FINEST <= width <= WIDEST:
        raise InputError(f"accuracy lies between {FINEST:g} and {WIDEST:g}, got {float(width):g}")
