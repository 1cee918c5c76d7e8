"""The triangulation of a section, and its refinement."""
