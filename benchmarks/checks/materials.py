"""Generic materials beside the tables they are named after."""

from __future__ import annotations

from soapfilm.geometry.grades import generic_material
from soapfilm.geometry.units import Units

from .figure import Figure, figures
from .registry import Found, Topic

MATERIALS = Topic("Materials: modulus of concrete")


def modulus(figure: Figure) -> Found:
    """Young's modulus in the figure's unit."""
    units = Units(figure.inputs["unit"])
    material = generic_material(figure.inputs["material"], units)
    return Found.about(material.elastic_modulus * units.factor("stress", figure.unit))


for _name, _figure in figures().items():
    if "material" in _figure.inputs:
        MATERIALS.check(_name, within=0.5 / _figure.value)(modulus)
