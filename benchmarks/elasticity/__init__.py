"""3D elasticity of members whose sections deform: independent references for the member solver.

Method. A member is a chain of slabs of hexahedra: rectangular (tapered: trapezoidal, curved:
cylindrical) cells of its section between two planes z = const. Displacements are polynomials
through Gauss-Lobatto points, of one order along plates and z and one less through a plate's
thickness; integrals are Gauss's with one point more than the order. Each slab is condensed onto its
two planes (`slab`), the planes are solved one after the other by a block Cholesky factorisation
(`chain`). No code is shared with the solver, nor any assumption of beams: it is elasticity in three
dimensions.

Conventions. Lengths in mm, forces in N, stresses in N/mm^2. x right, y up, z along the member; at
the section's place the axes turn with a curved axis (x outward from the centre for a positive
radius). Displacements and stresses are along the section's axes at their place.

Supports and loads are such that a reduced member can state them exactly: sections held or kept in
shape in their own plane (u_z free), or fixed; loads along an edge of the section over a length; a
torque on a section that is kept in shape. Where nothing holds the member along z, one node's u_z is
held: no force passes there, and only u_z at large depends on it.

Records. `data/NAME.json`: the case as solved (see `case.Case`), and at each asked point the value
by the higher of two orders with its change from the lower one. Elements at re-entrant corners
converge like a geometric row: what is left is at most about three times that change.

Cross-check. `crosscheck` solves three of the cases by a general library with quadratic hexahedra:
it is 0.4 to 1.2 % stiffer, as its one element through a plate's thickness must be.

Run: ``python -m benchmarks.elasticity`` (some 20 minutes) or with names of cases.
"""
