"""Joints: bolts, welds and plates between a member and what holds it."""
