"""What decks hold per metre after each stage."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.staged.stage_deck import deck_totals
from ..member.units import MemberUnits
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero

if TYPE_CHECKING:
    from ...solver.member.staged.assessment import StagedAssessment

_QUANTITIES = (
    ("m_t about shear centre", "torque", "total_torque", "line moment", "moment"),
    ("q_x at its level", "across", "total_across", "line load", "force"),
)


def stage_deck_passage(staged: StagedAssessment, units: MemberUnits) -> Passage:
    """Largest force per length and the total of every deck, a stage and combination a row."""
    rows = []
    for n, result in enumerate(staged.stages):
        for deck in deck_totals(staged.history.until(n)):
            for word, along, total, per_length, whole in _QUANTITIES:
                values = getattr(deck, along)
                size = float(np.abs(values).max(initial=0.0))
                if size == 0:
                    continue
                for c, name in enumerate(staged.names):
                    most = int(np.abs(values[:, c]).argmax())
                    all_of = near_zero(float(getattr(deck, total)[c]), size * deck.z[-1])
                    rows.append(
                        [
                            result.stage.name,
                            name,
                            deck.title,
                            f"{word} ({units.unit(per_length)})",
                            units.value(near_zero(float(values[most, c]), 1e3 * size), per_length),
                            units.value(float(deck.z[most]), "along"),
                            f"{units.value(all_of, whole)} {units.unit(whole)}",
                        ]
                    )
    if not rows:
        return []
    heads = ["stage", "combination", "deck", "per length", "largest", "at", "total"]
    table = HeadedRows(heads, ["", "", "", "", "", units.unit("along"), ""], rows)
    words = "What decks exert on the member along it, of all stages since each was there."
    return [table, Sentences([words])]


def deck_records(staged: StagedAssessment, number: int) -> list[dict[str, Any]]:
    """The same with all stations, after one stage."""
    return [
        {
            "deck": d.title,
            "z": d.z.tolist(),
            "combinations": {
                name: {
                    "torque_per_length": d.torque[:, c].tolist(),
                    "across_per_length": d.across[:, c].tolist(),
                    "torque": float(d.total_torque[c]),
                    "across": float(d.total_across[c]),
                }
                for c, name in enumerate(staged.names)
            },
        }
        for d in deck_totals(staged.history.until(number))
    ]
