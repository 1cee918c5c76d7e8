"""Studies: sections compared, sized and swept over, on one machine or many.

Importing this package loads no numerics, so worker processes can settle their threads first.
"""
