"""Buckling of sections beside 3D elasticity by a general finite-element library."""
