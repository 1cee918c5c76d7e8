"""Beams along their length, in torsion and bending."""
