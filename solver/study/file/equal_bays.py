"""A range of a diaphragm's spacing as the spacings in it that leave equal bays.

Between two of them the bays would be unequal, for no gain: the largest bay decides.
"""

from __future__ import annotations

import math
from dataclasses import replace

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ...member.file.positions import Along
from ...member.file.request import MemberRequest
from ...member.file.span_tables import axis_of
from .member_base import MemberBase
from .parameter import Parameter

_KEY = ".every"
#: Numbers of bays tried at most.
MOST = 200
#: Room for rounding of units.
_ROUNDING = 1e-9


def with_equal_bays(
    parameter: Parameter, address: str, member: MemberBase, request: MemberRequest
) -> Parameter:
    """The parameter with a list of spacings in place of its range.

    Parameters
    ----------
    parameter : Parameter
        A range.
    address : str
        Of the spacing, within the member file.
    member : MemberBase
    request : MemberRequest
        Its own.

    Raises
    ------
    InputError
        If no spacing in the range leaves equal bays.
    """
    units = request.units
    _, spans = axis_of({"span": member.value("span")}, False, units)
    holder = address.removesuffix(_KEY)
    keys = {key: member.value(f"{holder}.{key}") for key in ("span", "from", "to")}
    table = {key: value for key, value in keys.items() if value is not None}
    start, end = Along(spans, units).reach(Entry("diaphragm", 0, table, units))
    length = end - start
    low, high = (
        units.read(f"{value!r} {parameter.unit}".strip(), "length", bare=units.bare)
        for value in (parameter.low, parameter.high)
    )
    if not low > 0:
        raise InputError(f"parameter {parameter.name!r}: a spacing is above 0, got {low:g}")
    fewest = math.ceil(length / high * (1 - _ROUNDING))
    most = math.floor(length / low * (1 + _ROUNDING))
    if most - fewest >= MOST:
        raise InputError(
            f"parameter {parameter.name!r}: more than {MOST} numbers of bays lie in the range; "
            "raise its lower end"
        )
    if most < fewest:
        near = " and ".join(f"{length / n:.6g}" for n in (fewest, most) if n > 0)
        raise InputError(
            f"parameter {parameter.name!r}: no spacing between {low:g} and {high:g} "
            f"{units.length} divides {length:g} {units.length} into equal bays; the nearest are "
            f"{near}"
        )
    values = tuple(f"{length / n:.12g} {units.length}" for n in range(fewest, most + 1))
    return replace(parameter, values=values, low=0.0, high=0.0, unit="")


def spacing_address(address: str) -> bool:
    """Whether an address within the member file is that of a spacing."""
    return address.endswith(_KEY)
