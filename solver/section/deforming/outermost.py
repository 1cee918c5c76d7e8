"""The outermost corners of a section that deforms."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .elasticity.elastic import Elastic
from .elasticity.fields import Fields


def outermost(fields: Fields, elastic: Elastic) -> NDArray[np.intp]:
    """Numbers of the mesh's vertices on the hull of what is solid, some by rounding alone."""
    import shapely

    used = np.unique(fields.mesh.triangles[elastic.solid])
    points = fields.mesh.vertices[used]
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(points)))
    return used[np.isin(points @ (1, 1j), hull @ (1, 1j))]
