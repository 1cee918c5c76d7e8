"""Exact work on many arcs at once: crossings, arrangement, union and difference, the planar map."""
