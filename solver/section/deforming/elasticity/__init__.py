"""3D elasticity on the section's mesh: moduli, fields, strains, matrices, and solving with them."""
