"""Parametric profiles, named and dimensioned as ISO 16739-1 (IFC4) does."""
