"""Polynomials of high order on the triangles: shape functions, integrals, the sparse system."""
