"""Numbers of a member's combinations, where their names are too long for tables, and their list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..influence.envelope import number_of
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.numbering import Numbering
from .given_moving import factor_words

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

HEADING = "Combinations by number"


def numbering(assessment: Assessment) -> Numbering:
    """C1, C2 and so on in order; "C3 A8" is arrangement 8 of what travels, under C3."""
    return Numbering.of(all_numbers(assessment))


def all_numbers(assessment: Assessment) -> dict[str, str]:
    """Of every combination, however short their names are."""
    envelope = assessment.envelope
    variable = [] if envelope is None else [one.name for one in envelope.combinations]
    arranged = {one.name for one in assessment.arrangements}
    plain = [name for name in assessment.solution.names if name not in arranged]
    names = list(dict.fromkeys([*variable, *plain]))
    found = {name: number_of(k) for k, name in enumerate(names, 1)}
    if envelope is not None:
        for n, one in enumerate(assessment.arrangements, 1):
            base = envelope.combinations[one.extreme.combination].name
            found[one.name] = f"{found[base]} A{n}"
    return found


def number_list(assessment: Assessment) -> Passage:
    """Which number is which combination, and what it is made of; none where names are short."""
    numbers = numbering(assessment).numbers
    if not numbers:
        return []
    envelope = assessment.envelope
    variable = {} if envelope is None else {one.name: one for one in envelope.combinations}
    arranged = {one.name for one in assessment.arrangements}
    # The name stands in a column that keeps it.
    rows = [
        (number, name, factor_words(variable[name]) if name in variable else "")
        for name, number in numbers.items()
        if name not in arranged
    ]
    words = "CSV and JSON have names in full, JSON these numbers too."
    if arranged:
        words = (
            "A and a number behind it: one of the arrangements of what travels, listed below. "
            + words
        )
    return [HeadedRows(("number", "named", "factors"), ("", "", ""), rows, 3), Sentences([words])]
