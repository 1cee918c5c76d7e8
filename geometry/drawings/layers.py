"""Layer names: those that say what their lines are, and those that a section's parts are given."""

from __future__ import annotations

from collections.abc import Iterator

from ..section import Region, Section


def is_slit(layer: str) -> bool:
    """True for layers "slit", "slit lower flange", "SLITS": lines along which touching parts are
    not joined."""
    return _first_word(layer) in ("slit", "slits")


def is_void(layer: str) -> bool:
    """True for layers "hole", "holes", "void cell 1", "openings": contours inside which nothing
    is."""
    return _first_word(layer) in ("hole", "holes", "void", "voids", "opening", "openings")


def named_regions(section: Section) -> Iterator[tuple[str, Region]]:
    """Regions with a layer name each that no other region has.

    Two regions on one layer would be read back as outline and hole where one lies inside the other.
    """
    used = {"0", ""}
    for number, region in enumerate(section.regions, 1):
        material = region.material.name if region.material.specified else ""
        stem = layer_name(
            region.name or material or (f"part {number}" if len(section.regions) > 1 else "")
        )
        name, k = stem, 2
        while name.casefold() in used and (name or len(section.regions) > 1):
            name, k = f"{stem} {k}".strip(), k + 1
        used.add(name.casefold())
        yield name, region


def slit_layer(name: str) -> str:
    """The layer of a slit: its name, led by the word that marks slits."""
    clean = layer_name(name)
    return clean if is_slit(clean) else f"slit {clean}".strip()


def layer_name(text: str) -> str:
    """A name without the characters that layers cannot have."""
    kept = "".join("-" if c in '<>/\\":;?*|=`,' or not c.isprintable() else c for c in text)
    return " ".join(kept.split())[:200]


def _first_word(layer: str) -> str:
    words = layer.casefold().replace("_", " ").replace("-", " ").split()
    return words[0] if words else ""
