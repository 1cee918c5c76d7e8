"""Sizing of free dimensions beside brute force."""
