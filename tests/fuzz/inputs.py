"""Input number n of a kind: the same bytes in every run."""

from __future__ import annotations

import random

from .mutation import mutated
from .section_texts import section_text
from .seeds import KINDS, seeds

#: Kinds of inputs, and how they come about.
SOURCES = ("written .toml", *(f"mutated {kind}" for kind in KINDS), "noise")


def fuzz_input(source: str, number: int) -> tuple[bytes, str, str | None]:
    """Bytes, kind of file, and the unit that is given with it.

    Parameters
    ----------
    source : str
        One of `SOURCES`.
    number : int
        Seed.
    """
    rng = random.Random(f"{source} {number}")
    if source == "written .toml":
        return section_text(rng).encode(), ".toml", None
    if source == "noise":
        kind = rng.choice(KINDS)
        size = rng.choice([0, 1, 10, 100, 3000])
        return rng.randbytes(size), kind, rng.choice([None, "mm"])
    kind = source.split()[1]
    files = seeds(kind)
    data = mutated(rng.choice(files), rng, files)
    given = kind == ".wkt" or (kind not in (".toml", ".cases") and rng.random() < 0.2)
    return data, kind, rng.choice(["mm", "in"]) if given else None
