"""Drawings in and out: DXF, SVG, GeoJSON, WKT and IFC profiles become sections, sections become DXF
and SVG."""

from .reading import SUFFIXES, read_drawing
from .writing import write_drawing

__all__ = ["SUFFIXES", "read_drawing", "write_drawing"]
