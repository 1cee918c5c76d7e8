"""What decks hold along their length after the stages so far: the sum of what each stage adds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..beam.deck_reaction import DeckReaction
from ..beam.deck_reaction import deck_reactions as classical_decks
from ..beam.solution import Solution
from ..deforming.deck_reaction import deck_reactions as deforming_decks
from .history import Totals
from .stage_answer import StageAnswer

#: Fields of a `DeckReaction` with a column for every combination.
_COLUMNS = ("torque", "across", "total_torque", "total_across", "sums")


def deck_totals(totals: Totals) -> tuple[DeckReaction, ...]:
    """One row per deck that has held anything, all combinations."""
    found: dict[str, DeckReaction] = {}
    for answer in totals.answers:
        for deck in _added(answer):
            before = found.get(deck.title)
            found[deck.title] = deck if before is None else _sum(before, deck)
    return tuple(found.values())


def _added(answer: StageAnswer) -> list[DeckReaction]:
    """What one stage adds; solutions of one combination each are put side by side."""
    rows = [
        classical_decks(s) if isinstance(s, Solution) else deforming_decks(s)
        for s in answer.solutions
    ]
    return [
        replace(
            decks[0],
            **{k: np.concatenate([getattr(d, k) for d in decks], axis=-1) for k in _COLUMNS},
        )
        for decks in zip(*rows, strict=True)
    ]


def _sum(a: DeckReaction, b: DeckReaction) -> DeckReaction:
    return replace(a, **{k: getattr(a, k) + getattr(b, k) for k in _COLUMNS})
