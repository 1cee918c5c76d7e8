"""Formulas of codes, each with its equation and source."""
