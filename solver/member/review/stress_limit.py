"""Limits of stress on a solved member, and how far each is used."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ....geometry.material import Material
from ..beam.solution import govern
from ..beam.stations import SegmentStations
from .movement_limits import Utilisation
from .stress import MemberStress, Sections, peak_of

#: Stresses that a limit may be set on.
COMPONENTS = ("von Mises", "shear", "tension", "compression")
_ATTRIBUTE = {
    "von Mises": "mises", "shear": "shear", "tension": "tension", "compression": "compression",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class StressLimit:
    """Largest stress times `factor`.

    Attributes
    ----------
    allowed : float, optional
        Left out: the strength of each material, for von Mises stress alone.
    factor : float
    component : str
        One of `COMPONENTS`.
    combinations : tuple of str
        Those that count, none stands for all.
    stages : tuple of str
        After which it is judged, none stands for all.
    """

    allowed: float | None = None
    factor: float = 1.0
    component: str = "von Mises"
    combinations: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.component not in COMPONENTS:
            raise InputError(
                f"stress component {self.component!r} is not known; use {', '.join(COMPONENTS)}"
            )
        if self.allowed is None and self.component != "von Mises":
            raise InputError(
                f"a strength is compared with the von Mises stress; for {self.component} give the "
                "allowed stress itself"
            )
        if self.allowed is not None and not 0 < self.allowed < math.inf:
            raise InputError(f"the allowed stress must be positive, got {self.allowed}")
        if not 0 < self.factor < math.inf:
            raise InputError(f"the factor on stress must be positive, got {self.factor}")


def stress_utilisation(
    limits: Iterable[StressLimit],
    stress: MemberStress | None,
    parts: Sequence[SegmentStations],
    sections: Sections,
) -> tuple[Utilisation, ...]:
    """One row for each limit; `stress` None where a section is known by its figures alone.

    Raises
    ------
    InputError
        Where no stress can be compared: no outline, no strength, or one that the von Mises
        criterion does not belong to.
    """
    rows = []
    for limit in limits:
        if stress is None:
            raise InputError(
                "a stress limit needs sections with an outline; one is given by its figures alone"
            )
        rows.append(_row(limit, stress, parts, sections))
    return tuple(rows)


def _row(
    limit: StressLimit,
    stress: MemberStress,
    parts: Sequence[SegmentStations],
    sections: Sections,
) -> Utilisation:
    columns = [stress.names.index(n) for n in limit.combinations] or list(range(len(stress.names)))
    names = [stress.names[c] for c in columns]
    times = f" times {limit.factor:g}" if limit.factor != 1 else ""
    if limit.allowed is not None:
        title = f"{limit.component} stress{times}"
        if limit.component == "von Mises":
            peak = peak_of(stress, parts, sections, limit.combinations)
            worst = (peak.value, peak.station, peak.combination)
        else:
            sign = -1.0 if limit.component == "compression" else 1.0
            values = sign * getattr(stress, _ATTRIBUTE[limit.component])[:, columns]
            worst = govern(np.maximum(values, 0.0), stress.z, names)
        value, station, name = worst
        return Utilisation(
            title, limit.factor * value, limit.allowed, station, name, "set by the user", "given"
        )
    materials = judged_materials(sections)
    title = f"von Mises stress{times} over strength"
    source = "; ".join(sorted({m.source or m.name for m in materials}))
    assert stress.utilisation is not None
    strengths = {m.strength for m in materials}
    if len(strengths) == 1:
        peak = peak_of(stress, parts, sections, limit.combinations)
        (strength,) = strengths
        assert strength is not None
        value, station, name = peak.value, peak.station, peak.combination
        return Utilisation(title, limit.factor * value, strength, station, name, source, "given")
    ratio, station, name = govern(stress.utilisation[:, columns], stress.z, names)
    # Several strengths: the row holds the ratio itself.
    return Utilisation(title, limit.factor * ratio, 1.0, station, name, source, "given")


def judged_materials(sections: Sections) -> list[Material]:
    """The materials, all of which must have a strength that the criterion belongs to."""
    materials = []
    for name, section in sections.items():
        assert section.result is not None
        for region in section.result.section.regions:
            material = region.material
            if material.strength is None:
                raise InputError(
                    f"material {material.name!r} of section {name!r} states no strength; give it "
                    'one, or write the allowed stress in place of "strength"'
                )
            if "compression" in material.source:
                raise InputError(
                    f"the strength of {material.name!r} is one in compression, which the von "
                    "Mises stress does not measure; limit tension and compression by values: "
                    'component = "tension", stress = "3 MPa"'
                )
            materials.append(material)
    return materials
