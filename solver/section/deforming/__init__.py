"""Sections that deform: three matrices of 3D elasticity, Saint-Venant's solutions, slow modes, and
the reduced basis in which a member is solved along its length."""
