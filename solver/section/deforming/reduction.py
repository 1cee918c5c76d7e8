"""From a section to its reduced form: check, mesh, solve, gather the basis."""

from __future__ import annotations

import numpy as np

from ....geometry.section import Section
from ....geometry.validate import checked_map
from ..triangulation import triangulate
from .elastic import elastic_of
from .fields import Fields, function_numbers
from .reduced import ReducedSection
from .span import Columns, reduced_on

#: Order of the shape functions.
ORDER = 4


def reduced_section(section: Section) -> ReducedSection:
    """The reduced basis of a section.

    Raises
    ------
    GeometryError
        The section is not valid; the message says what is wrong and where.
    """
    mesh = triangulate(checked_map(section))
    numbers, count = function_numbers(mesh, ORDER)
    fields = Fields(mesh, ORDER, numbers, np.zeros((count, 3, 0)))
    elastic = elastic_of(section, mesh.region)
    none = Columns(np.zeros((count, 2, 0)), np.zeros((count, 0)), (), ())
    return reduced_on(fields, elastic, none, np.zeros(0, dtype=complex))
