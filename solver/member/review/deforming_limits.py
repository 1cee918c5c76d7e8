"""Limits held against a member with deforming sections."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError
from ..beam.solution import govern
from ..deforming.envelope import DeformingStress
from ..deforming.node_places import looked_at
from ..model.member import Member
from .movement_limits import SEARCH, Limit, TwistLimit, Utilisation, movement_row
from .serviceability import twist_limit
from .stress import Sections
from .stress_limit import StressLimit, judged_materials

Array = NDArray[np.float64]

_ATTRIBUTE = {
    "von Mises": "mises", "shear": "shear", "tension": "tension", "compression": "compression",
}  # fmt: skip


class Motion(Protocol):
    """What limits of movement ask of a solution."""

    @property
    def member(self) -> Member:
        """What moves."""

    @property
    def names(self) -> tuple[str, ...]:
        """The c combinations."""

    def twist(self, z: ArrayLike) -> Array:
        """(m, c) at stations z (m,)."""

    def movement(self, point: Any, z: ArrayLike) -> tuple[Array, Array]:
        """Across and up, (m, c) each, of a place of the section."""


def movement_rows(solution: Motion, limit: Limit) -> list[Utilisation]:
    """Rows of a limit of twist or movement, as `movement_limits.utilisation` has them."""
    member = solution.member
    columns = _columns(solution.names, limit.combinations)
    names = [solution.names[c] for c in columns]
    if isinstance(limit, TwistLimit):
        z = looked_at(member, SEARCH)
        allowed = twist_limit(limit.degrees)
        worst = govern(solution.twist(z)[:, columns], z, names)
        return [movement_row(allowed, allowed.words, worst)]
    spans = member.spans
    if limit.span_ratio is None and limit.masonry_unit is None:
        spans = ((0.0, member.length),)
    wrap = member.length if member.axis.closed else np.inf
    rows = []
    for n, (start, end) in enumerate(spans, 1):
        z = looked_at(member, SEARCH, start, end) % wrap
        moved = solution.movement(limit.point, z)["xy".index(limit.direction)]
        allowed = limit.allowed(end - start)
        title = allowed.words + (f" in span {n}" if len(spans) > 1 else "")
        rows.append(movement_row(allowed, title, govern(moved[:, columns], z, names)))
    return rows


def stress_row(stress: DeformingStress, limit: StressLimit, sections: Sections) -> Utilisation:
    """The row of a limit of stress, as `stress_limit.stress_utilisation` has it."""
    columns = _columns(stress.names, limit.combinations)
    names = [stress.names[c] for c in columns]
    times = f" times {limit.factor:g}" if limit.factor != 1 else ""
    if limit.allowed is not None:
        sign = -1.0 if limit.component == "compression" else 1.0
        values = sign * getattr(stress, _ATTRIBUTE[limit.component])[:, columns]
        value, at, name = govern(np.maximum(values, 0.0), stress.z, names)
        title = f"{limit.component} stress{times}"
        return Utilisation(
            title, limit.factor * value, limit.allowed, at, name, "set by the user", "given"
        )
    materials = judged_materials(sections)
    source = "; ".join(sorted({m.source or m.name for m in materials}))
    title = f"von Mises stress{times} over strength"
    strengths = {m.strength for m in materials}
    if len(strengths) == 1:
        (strength,) = strengths
        assert strength is not None
        value, at, name = govern(stress.mises[:, columns], stress.z, names)
        return Utilisation(title, limit.factor * value, strength, at, name, source, "given")
    if stress.utilisation is None:
        raise InputError(
            "a member of several sections with several strengths cannot be compared with them "
            "where its sections deform; give the allowed stress as a value"
        )
    ratio, at, name = govern(stress.utilisation[:, columns], stress.z, names)
    # Several strengths: the row holds the ratio itself.
    return Utilisation(title, limit.factor * ratio, 1.0, at, name, source, "given")


def _columns(all_names: Sequence[str], names: tuple[str, ...]) -> list[int]:
    for name in names:
        if name not in all_names:
            raise InputError(
                f"combination {name!r} was not solved; solved are {', '.join(all_names)}"
            )
    return [all_names.index(n) for n in names] if names else list(range(len(all_names)))
