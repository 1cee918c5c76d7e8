"""Rolled shapes by name."""
