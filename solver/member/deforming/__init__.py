"""Members whose sections deform: distortion, warping, shear lag and shear deformation from three
matrices of the section, solved along the member.

The member's displacement is u(x, y, z) = W(x, y) a(z): n fields of the section, n unknown functions
along it. The energy per length is 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a.
"""
