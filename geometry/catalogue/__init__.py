"""Rolled shapes by name: the catalogue's tables, and the section each row stands for.

`shape("W10X49")` is the section, `listing` the table's row, `search` finds shapes by what they are
like.
"""

from .family import FAMILIES, ShapeFamily
from .lookup import Listing, listing, nearest, search, shape

__all__ = ["FAMILIES", "Listing", "ShapeFamily", "listing", "nearest", "search", "shape"]
