"""Laboratory tests that are known but could not be compared: what is missing of each."""

from __future__ import annotations

import json

from .book_tables import table
from .checks.figure import DATA

HEADS = ("tested", "what is known", "what is missing", "source")
TEXT = """\
### Laboratory tests that could not be compared

Kept in `tests/data/laboratory_unread.json`: tests that bear on torsion, of which too little
could be read to compute them.
"""


def unread_part() -> str:
    """Text and table."""
    entries = json.loads((DATA / "laboratory_unread.json").read_text(encoding="utf-8"))
    rows = [
        [
            f"{entry['kind']}: {entry['tested']}",
            ". ".join(text for text in (entry["read"], entry["note"]) if text),
            entry["missing"],
            f"{entry['source']} ({entry['provenance']})",
        ]
        for entry in entries
    ]
    return TEXT + "\n" + table(HEADS, rows)
