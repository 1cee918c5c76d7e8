"""Derivatives of what a classical member does to any number behind it."""
