"""Wind of a member file: a pressure on the depth that it sees.

::

    [[wind]]
    case = "wind"
    pressure = "1.2 kPa"           # with its force coefficient
    toward = "right"               # the section's +x (default), or "left"
    parapet = "1.1 m"              # seen above the section's top besides, if it is closed
    depth = "2.4 m"                # in place of the depth of the outline
    level = "0.3 m above top"      # of its resultant; default: the middle of what it sees
    from = "start"                 # and to, span: all along where they are left out

It blows square to the axis everywhere. Its force is spread over the section, with the torque that
its height above the shear centre makes: how walls carry it to the section is not followed.
"""

from __future__ import annotations

import math

import numpy as np

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.load import LineLoad, Place
from ..model.member import Segment
from ..model.wind import WindPressure
from .positions import Along, level_of

#: Pieces of a tapered segment: force and torque are linear in each.
_PIECES = 8


def winds_of(entry: Entry, along: Along, segments: tuple[Segment, ...]) -> list[LineLoad]:
    """The line loads of one table, one for each piece of a segment."""
    case = entry.text("case", "wind") or "wind"
    name = entry.text("name") or case
    start, end = along.reach(entry)
    entry.need("pressure", '"1.2 kPa"')
    pressure = entry.quantity("pressure", "stress") or 0.0
    sign = 1.0 if entry.choice("toward", ("right", "left"), "right") == "right" else -1.0
    parapet, depth = entry.length("parapet") or 0.0, entry.length("depth")
    level = level_of(entry)
    entry.close()
    if not 0 < pressure < math.inf:
        raise InputError('pressure must be positive; toward = "left" turns it round')
    if parapet < 0 or (depth is not None and depth <= 0):
        raise InputError("parapet and depth are lengths, parapet zero or more")
    if depth is not None and level is None:
        raise InputError("depth is given in place of the outline; give level, where it acts, too")
    wind = WindPressure(pressure * sign, parapet, depth, level)
    found = []
    for segment in segments:
        a, b = max(start, segment.start), min(end, segment.end)
        if not b > a:
            continue
        cuts = np.linspace(a, b, (_PIECES if segment.section_end else 1) + 1).tolist()
        ends = [wind.acting_on(segment.section_at(z)) for z in cuts]
        for n in range(len(cuts) - 1):
            (f0, t0), (f1, t1) = ends[n], ends[n + 1]
            found.append(
                LineLoad(
                    cuts[n], cuts[n + 1], (f0, 0.0, 0.0), (f1, 0.0, 0.0), Place(), t0, t1,
                    case=case, name=name, wind=wind,
                )
            )  # fmt: skip
    return found
