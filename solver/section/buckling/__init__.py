"""Buckling of a section by half-wavelength: elastic critical loads of its exact outline."""
