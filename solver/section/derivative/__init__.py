"""Derivatives of a section's numbers to the movement of its outline."""
