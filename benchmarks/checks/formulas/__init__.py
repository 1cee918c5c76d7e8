"""Formulas of codes and of the hand, each with its equation and source.

The tests and the validation book set them beside the program, which does not apply them.
"""
