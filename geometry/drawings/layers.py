"""Layer names that say what their lines are: slits and voids."""

from __future__ import annotations


def is_slit(layer: str) -> bool:
    """True for layers "slit", "slit lower flange", "SLITS": lines along which touching parts are
    not joined."""
    return _first_word(layer) in ("slit", "slits")


def is_void(layer: str) -> bool:
    """True for layers "hole", "holes", "void cell 1", "openings": contours inside which nothing
    is."""
    return _first_word(layer) in ("hole", "holes", "void", "voids", "opening", "openings")


def _first_word(layer: str) -> str:
    words = layer.casefold().replace("_", " ").replace("-", " ").split()
    return words[0] if words else ""
