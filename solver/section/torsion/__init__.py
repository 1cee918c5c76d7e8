"""Saint-Venant torsion: both bounds of J, their refinement, warping, peaks."""
