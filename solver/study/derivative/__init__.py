"""Derivatives to the numbers of a file."""
