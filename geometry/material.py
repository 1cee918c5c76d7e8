"""A material: elastic constants, density and strength in the section's own consistent units."""

from __future__ import annotations

from dataclasses import dataclass

from .errors import InputError


@dataclass(frozen=True, slots=True)
class Material:
    """Linear elastic isotropic material.

    Attributes
    ----------
    name : str
    elastic_modulus : float
        Young's modulus E, force per length squared. 1.0 stands for "not given": results are then
        per unit modulus.
    poisson_ratio : float
        nu; the shear modulus follows unless given.
    shear_modulus : float, optional
        G; default E / (2 (1 + nu)).
    density : float, optional
        Mass per volume.
    strength : float, optional
        Yield (or nominal) strength, force per length squared.
    source : str
        Where the figures come from, or "from memory".
    thermal_expansion : float, optional
        Strain per kelvin.
    """

    name: str = "unspecified"
    elastic_modulus: float = 1.0
    poisson_ratio: float = 0.3
    shear_modulus: float | None = None
    density: float | None = None
    strength: float | None = None
    source: str = ""
    thermal_expansion: float | None = None

    def __post_init__(self) -> None:
        for word in ("elastic_modulus", "shear_modulus", "density", "strength"):
            value = getattr(self, word)
            if value is not None and not (0 < value < float("inf")):
                raise InputError(f"material {self.name!r}: {word} must be positive, got {value}")
        expansion = self.thermal_expansion
        if expansion is not None and not abs(expansion) < 1.0:
            raise InputError(
                f"material {self.name!r}: thermal_expansion is a strain per kelvin, far below 1, "
                f"got {expansion}"
            )
        if not -1.0 < self.poisson_ratio <= 0.5:
            raise InputError(
                f"material {self.name!r}: Poisson's ratio lies in (-1, 0.5], got "
                f"{self.poisson_ratio}"
            )

    @property
    def specified(self) -> bool:
        """False for the stand-in material of a section that names none."""
        return self.name != "unspecified"

    @property
    def shear(self) -> float:
        """Shear modulus G, given or E / (2 (1 + nu))."""
        if self.shear_modulus is not None:
            return self.shear_modulus
        return self.elastic_modulus / (2 * (1 + self.poisson_ratio))
