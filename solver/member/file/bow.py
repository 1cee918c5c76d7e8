"""`imperfection` under [analysis]: how far the unloaded member is from its drawn shape."""

from __future__ import annotations

import re

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..critical.imperfection import BOW, Imperfection

_SHARE = re.compile(r"L\s*/\s*([0-9]+(?:\.[0-9]*)?)$")
_CURVE = re.compile(r"curve\s+(a0|a|b|c|d)$")


def imperfection_of(entry: Entry, order: str) -> Imperfection | None:
    """ "L/250" of the longest span, "curve b" by EN 1993-1-1 table 5.1, or a length.

    Raises
    ------
    InputError
        Neither of them; first order.
    """
    if not entry.has("imperfection"):
        return None
    stated = entry.table["imperfection"]
    words = stated.strip() if isinstance(stated, str) else ""
    share, curve = _SHARE.match(words), _CURVE.match(words)
    if share is not None or curve is not None:
        entry.text("imperfection")
        divisor = float(share[1]) if share is not None else BOW[curve[1]]  # type: ignore[index]
        if not divisor >= 10:
            raise InputError(f"imperfection is {words!r}; more than L/10 is another shape")
        found = Imperfection(1 / divisor, 0.0, words)
    else:
        try:
            length = entry.length("imperfection")
        except InputError as error:
            raise InputError(
                f'imperfection is {str(stated)[:40]!r}; say "L/250", "curve b" (of EN 1993-1-1 '
                'table 5.1: a0, a, b, c or d) or a length like "12 mm"'
            ) from error
        if not (length or 0.0) > 0:
            raise InputError(f"imperfection must be positive, got {str(stated)[:40]!r}")
        found = Imperfection(0.0, length or 0.0, words or f"{stated}")
    if order != "second":
        raise InputError('an imperfection acts in second order; set order = "second"')
    return found
