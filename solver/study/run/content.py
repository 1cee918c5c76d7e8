"""What a result depends on, as one short key: geometry, materials, accuracy and the code itself.

Equal keys mean equal results, so a key names a cached section or a finished row. Names count, for
they appear in results. The code's part is a digest of the modules that compute and of the versions
of the libraries under them: an update never meets results of its predecessor.
"""

from __future__ import annotations

import hashlib
import json
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ....geometry.outline.contour import Contour
    from ....geometry.section import Section

#: Folders of modules whose change may change a number, beside this one's.
_ROOMS = ("geometry", "solver")
_LIBRARIES = ("soapfilm", "numpy", "scipy", "shapely", "gmsh", "qdldl")


def digest(*parts: Any) -> str:
    """A key of 32 hexadecimal digits for anything JSON can write, exact for every float."""
    text = json.dumps(parts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def section_key(section: Section, accuracy: float) -> str:
    """Key of a section's properties at an accuracy.

    Parameters
    ----------
    section : Section
    accuracy : float
        Relative width asked of J's interval.
    """
    regions = [
        [
            [_contour(c) for c in region.contours],
            [getattr(region.material, word) for word in region.material.__slots__],
            region.name,
        ]
        for region in section.regions
    ]
    slits = [[s.points, s.bulges, s.name] for s in section.slits]
    joints = [[getattr(j, word) for word in j.__slots__] for j in section.joints]
    return digest(
        "section", code_version(), accuracy, section.unit, section.name, regions, slits, joints
    )


@cache
def code_version() -> str:
    """Digest of the modules that compute and of the libraries' versions."""
    total = hashlib.sha256()
    for name in _LIBRARIES:
        try:
            total.update(f"{name} {version(name)};".encode())
        except PackageNotFoundError:
            total.update(f"{name};".encode())
    for room in _ROOMS:
        folder = _folder(room)
        for path in sorted(folder.rglob("*.py")):
            total.update(path.relative_to(folder).as_posix().encode() + path.read_bytes())
    return total.hexdigest()[:16]


def _folder(room: str) -> Path:
    """Folder of one of the package's rooms; an editable install may keep them apart."""
    from ....geometry import errors

    if room == "geometry":
        return Path(errors.__file__).parent
    return Path(__file__).parents[2]


def _contour(contour: Contour) -> list[Any]:
    return [contour.points.tolist(), contour.bulges.tolist()]
