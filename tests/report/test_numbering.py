"""Numbers in place of names that are too long for tables."""

from __future__ import annotations

from soapfilm.report.text.blocks import HeadedRows, Sentences
from soapfilm.report.text.numbering import Numbering

LONG = "strength 6.10: crowd leading, with uniform, 0.75 gradient"
NUMBERS = Numbering.of({LONG: "C1", f"{LONG}, arrangement 2": "C1 A2", "dead": "C2"})


def test_short_names_stay() -> None:
    short = Numbering.of({"dead": "C1", "use": "C2"})
    assert short.text("Under 'dead' all is well.") == "Under 'dead' all is well."


def test_numbers_in_sentences_and_in_columns_of_combinations() -> None:
    said = f"Bearing 2 holds down under combination '{LONG}, arrangement 2' and '{LONG}', dead."
    assert NUMBERS.text(said) == "Bearing 2 holds down under combination C1 A2 and C1, dead."
    assert NUMBERS.text(f"under \u201cdead\u201d and {LONG}") == "under C2 and C1"
    rows = HeadedRows(["load", "combination"], ["", ""], [["dead", "dead"], ["crowd", LONG]])
    table, words = NUMBERS.passage([rows, Sentences([f"{LONG}."])])
    assert isinstance(table, HeadedRows)
    assert table.rows == [["dead", "C2"], ["crowd", "C1"]]  # a load may bear a case's name
    assert words == Sentences(["C1."])
