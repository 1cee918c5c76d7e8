"""Natural frequencies and modes of members: the matrices of their statics, and their mass.

(K - omega^2 M) a = 0 on the functions a(z) of a member whose sections deform, or on the seven of
the classical beam. Supports hold and springs act as in statics.
"""
