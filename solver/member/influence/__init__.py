"""Influence lines: what a single load does to a result as it travels along the member.

A result is a linear functional of the movements, so its influence line is the movement that one
adjoint problem gives (Mueller-Breslau): one solve a result, whatever the number of positions.
"""
