"""Data of the live member: its results at stations, for every combination, in the units shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...solver.member.beam.solution import ACTIONS
from ...solver.member.model.load import Place
from ..member.carried_flow import heaviest
from ..member.extremes import named_sections, telling_combination
from ..member.governing import largest_stress
from ..member.rounding import rounding_scales
from ..member.units import MemberUnits
from ..text.number import near_zero
from .live_section import QUANTITY
from .live_shape import shape_data
from .packing import floats

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Below this share of the largest along the member a value is rounding; bearings are found shut to
#: a billionth.
_NOISE = 1e-8
#: Diagrams in the order in which they are shown: column of the stations, words, symbol, quantity.
DIAGRAMS = (
    ("phi", "twist", "φ", "angle"),
    ("v", "deflection, up", "v", "displacement"),
    ("T", "torque", "T", "moment"),
    ("T_w", "warping torque", "T_w", "moment"),
    ("B", "bimoment", "B", "bimoment"),
    ("M_x", "moment about x", "M_x", "moment"),
    ("V_y", "shear along y", "V_y", "force"),
)
STRESS = ("von Mises", "von Mises stress", "σ_v", "stress")


def member_data(assessment: Assessment) -> dict[str, Any]:
    """Diagrams of every combination and the actions that each station puts on its section."""
    units = MemberUnits(assessment.request.units)
    table, stress = assessment.table, assessment.stress
    rows = _Rows.of(assessment)
    deforming = _deforming(assessment, rows.z)
    beside = rounding_scales(assessment)

    def shown(word: str) -> Array:
        values = deforming.get(word, rows.of_table(getattr(table, word)))
        return _without_noise(values, beside[word])

    columns = [(*d, shown(d[0])) for d in DIAGRAMS]
    weld = None if assessment.flows is None else heaviest(assessment.flows)
    if weld is not None:
        words = f"flow of weld {weld.line.name}"
        flow = rows.of_table(np.nan_to_num(weld.flow))
        columns.append(("weld", words, "q", "line load", _without_noise(flow)))
    if stress is not None:
        columns.append((*STRESS, deforming.get("von Mises", rows.of_table(stress.mises))))
    factors = np.array([units.factor(q) for q in QUANTITY])
    beside |= {"T_t": beside["T"], "V_x": beside["V_y"], "N": beside["V_y"]}
    own = [_without_noise(rows.of_table(getattr(table, w)), beside.get(w, 0.0)) for w in ACTIONS]
    actions = np.stack(own)
    actions *= factors[:, None, None]
    member = assessment.solution.mesh.member
    along = units.factor("along")
    return {
        "names": list(table.names),
        "unit": units.unit("along"),
        "z": floats(rows.z * along),
        "length": member.length * along,
        "supports": sorted({s.at * along for s in member.supports}),
        "diagrams": [
            {
                "key": key,
                "words": words,
                "symbol": symbol,
                "unit": units.unit(quantity),
                "values": floats((values * units.factor(quantity)).T),
            }
            for key, words, symbol, quantity, values in columns
        ],
        "actions": floats(np.moveaxis(actions, 2, 0)),  # by combination, action, station
        "segments": _segments(assessment, along),
        "opening": _opening(assessment, along),
        "shape": shape_data(assessment),
    }


@dataclass(frozen=True, slots=True)
class _Rows:
    """Stations of the page: the table's, and those where the stress of deforming sections peaks.

    A peak between two stations of the table would read too low.
    """

    own: Array
    z: Array

    @classmethod
    def of(cls, assessment: Assessment) -> _Rows:
        own = assessment.table.z
        if assessment.deformed is None:
            return cls(own, own)
        stress = assessment.deformed.stress
        peaks = np.unique(stress.z[stress.mises.argmax(axis=0)])
        new = peaks[~np.isin(peaks, own)]
        return cls(own, np.insert(own, np.searchsorted(own, new), new))

    def of_table(self, values: Array) -> Array:
        """Values (n, c) of the table's stations at those of the page, linear between them."""
        new = np.flatnonzero(~np.isin(self.z, self.own))
        at = self.z[new]
        k = np.searchsorted(self.own, at)
        share = ((at - self.own[k - 1]) / (self.own[k] - self.own[k - 1]))[:, None]
        return np.insert(values, k, (1 - share) * values[k - 1] + share * values[k], axis=0)


def _deforming(assessment: Assessment, z: Array) -> dict[str, Array]:
    """Twist, deflection and stress (m, c) at stations z (m,) where sections deform."""
    found = assessment.deformed
    if found is None:
        return {}
    # Where the stress jumps, the larger of both sides.
    places, start = np.unique(found.stress.z, return_index=True)
    mises = np.maximum.reduceat(found.stress.mises, start, axis=0)
    twists = np.array([row.twist.deforming > 0 for row in found.rows])
    return {
        "phi": np.where(twists, found.solution.twist(z), 0.0),
        "v": found.solution.movement(Place(), z)[1],
        "von Mises": np.stack([np.interp(z, places, column) for column in mises.T], axis=1),
    }


def _without_noise(values: Array, beside: float = 0.0) -> Array:
    """The values, 0 where they are rounding beside the largest, or all of them beside another
    size: a reader wants the 0."""
    most = float(np.abs(values).max(initial=0.0))
    least = np.inf if near_zero(most, beside) == 0 else _NOISE * most
    return np.where(np.abs(values) < least, 0.0, values)


def largest_actions(assessment: Assessment) -> Array:
    """(8,) largest size of each action along the member, in consistent units."""
    sizes = [float(np.abs(getattr(assessment.table, word)).max()) for word in ACTIONS]
    return np.array(sizes)


def live_sections(assessment: Assessment) -> list[str]:
    """Names of the sections that have an outline, and so stresses to show."""
    return [name for name, s in named_sections(assessment).items() if s.result is not None]


def _segments(assessment: Assessment, along: float) -> list[dict[str, Any]]:
    """Which section lies where; a taper shows the named section that is nearer."""
    shown = live_sections(assessment)
    made = {name: s for name, s in assessment.request.sections.items() if s.made}
    found: list[dict[str, Any]] = []
    for segment in assessment.solution.mesh.member.segments:
        name = segment.section.name
        if name in made:  # of a taper: keep to the named section before it
            name = found[-1]["name"] if found else shown[0] if shown else name
        index = shown.index(name) if name in shown else -1
        found.append({"end": segment.end * along, "section": index, "name": name})
    return found


def _opening(assessment: Assessment, along: float) -> dict[str, Any]:
    """The place to look at first: the peak stress, or the largest twist."""
    peak = largest_stress(assessment)
    if peak is not None:
        column = assessment.table.names.index(peak.combination)
        return {"station": peak.station * along, "combination": column}
    column = telling_combination(assessment)
    row = int(np.abs(assessment.table.phi[:, column]).argmax())
    return {"station": float(assessment.table.z[row]) * along, "combination": column}
