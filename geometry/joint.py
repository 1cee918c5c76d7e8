"""A joint: a named line across which a result gives the shear flow, as a weld's throat."""

from __future__ import annotations

from dataclasses import dataclass, replace

from .errors import GeometryError
from .outline.placement import Placement


@dataclass(frozen=True, slots=True)
class JointLine:
    """A line through material from one free border (outline, hole or slit) to another.

    With Prandtl's stress function phi the shear flow through the line is phi(last point) -
    phi(first point), positive from the line's left to its right. Lines of welds have the first of
    the two joined parts on their left, so a positive flow passes from the first part to the second.

    Attributes
    ----------
    name : str
    points : tuple of (x, y)
        n >= 2 points in order.
    bulges : tuple of float
        n - 1 bulges of the edges between them; empty: all straight.
    kind : str
        "fillet", "full", "partial", or "" for a line that is no weld.
    between : tuple of str
        Names of the two parts it joins, or empty.
    weld_length, pitch : float, optional
        An intermittent weld: length of each weld along the member and distance between their
        starts. The section is solved as if the weld ran on; each weld then carries flow times
        pitch.
    """

    name: str
    points: tuple[tuple[float, float], ...]
    bulges: tuple[float, ...] = ()
    kind: str = ""
    between: tuple[str, ...] = ()
    weld_length: float | None = None
    pitch: float | None = None

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise GeometryError(
                f"joint {self.name!r} needs two points at least, got {len(self.points)}"
            )
        if not self.bulges:
            object.__setattr__(self, "bulges", (0.0,) * (len(self.points) - 1))
        if len(self.bulges) != len(self.points) - 1:
            raise GeometryError(
                f"joint {self.name!r}: {len(self.points)} points need {len(self.points) - 1} "
                "bulges, "
                f"got {len(self.bulges)}"
            )

    @property
    def intermittent(self) -> bool:
        """True for a weld that is not continuous along the member."""
        return self.pitch is not None

    def force_per_weld(self, flow: float) -> float:
        """Longitudinal force that each intermittent weld carries: flow times pitch.

        Assumes that the flow is even over a pitch and that the unwelded stretches between carry
        nothing.

        Raises
        ------
        GeometryError
            For a continuous joint, which has no single welds.
        """
        if self.pitch is None:
            raise GeometryError(
                f"joint {self.name!r} is continuous: it has a flow, not a force per weld"
            )
        return flow * self.pitch

    def placed(self, placement: Placement) -> JointLine:
        """The joint's image under a placement.

        A mirrored line is run backwards, so that the first part stays on its left.
        """
        points = tuple((float(x), float(y)) for x, y in placement.apply(self.points))
        if placement.mirrors:
            return replace(self, points=points[::-1], bulges=self.bulges[::-1])
        return replace(self, points=points)
