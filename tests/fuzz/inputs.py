"""Input number n of a kind: the same bytes in every run."""

from __future__ import annotations

import random

from .drawing_change import restated_drawing
from .keyed_texts import keyed_text
from .mutation import mutated
from .retyping import retyped
from .section_texts import section_text
from .seeds import FILES, KINDS, seeds
from .statement_change import restated

#: Kinds of inputs, and how they come about.
SOURCES = (
    "written .toml",
    *(f"mutated {kind}" for kind in KINDS),
    "noise",
    "restated .toml",
    "restated .cases",
    *(f"restated {kind}" for kind in (".dxf", ".svg", ".geojson", ".ifc")),
    "retyped .toml",
    "retyped .cases",
)
#: The same of files that are about sections.
FILE_SOURCES = tuple(
    f"{how} {kind}" for kind in FILES for how in ("written", "mutated", "restated", "retyped")
)


def fuzz_input(source: str, number: int) -> tuple[bytes, str, str | None]:
    """Bytes, kind of file, and the unit that is given with it.

    Parameters
    ----------
    source : str
        One of `SOURCES` or `FILE_SOURCES`.
    number : int
        Seed.
    """
    rng = random.Random(f"{source} {number}")
    if source == "written .toml":
        return section_text(rng).encode(), ".toml", None
    how, _, kind = source.partition(" ")
    if how == "written":
        return keyed_text(rng, kind[1:]).encode(), kind, None
    if source == "noise":
        kind = rng.choice(KINDS)
        size = rng.choice([0, 1, 10, 100, 3000])
        return rng.randbytes(size), kind, rng.choice([None, "mm"])
    files = seeds(kind)
    if how == "restated" and kind in KINDS and kind not in (".toml", ".cases"):
        return restated_drawing(rng.choice(files), rng, kind), kind, None
    if how in ("restated", "retyped"):
        fresh = kind in FILES and rng.random() < 0.5
        data = keyed_text(rng, kind[1:]).encode() if fresh else rng.choice(files)
        change = restated if how == "restated" else retyped
        return change(data, rng, files), kind, None
    data = mutated(rng.choice(files), rng, files)
    given = kind == ".wkt" or (kind not in (".toml", ".cases", *FILES) and rng.random() < 0.2)
    return data, kind, rng.choice(["mm", "in"]) if given else None
