"""Members and figures that several tests share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support

from benchmarks.checks import figures


def check(name: str) -> tuple[Any, Mapping[str, Any]]:
    """Value and inputs of a published or derived figure; its source stands in the data file."""
    figure = figures()[name]
    return figure.values if len(figure.values) > 1 else figure.value, figure.inputs


def unit_section(u: float, length: float = 1.0, **more: Any) -> SectionConstants:
    """G J = 1, E C_w = (length / u)^2, so that length / a = u; every bending stiffness 1."""
    figures: dict[str, Any] = {
        "elastic_modulus": 1.0,
        "shear_modulus": 1.0,
        "area": 1.0,
        "second_moment_x": 1.0,
        "second_moment_y": 1.0,
        "torsion_constant": 1.0,
        "warping_constant": (length / u) ** 2,
    }
    return SectionConstants(**(figures | more))


def skew_section(**more: Any) -> SectionConstants:
    """An invented unsymmetric section in N and mm whose centroid and shear centre lie apart."""
    figures: dict[str, Any] = {
        "elastic_modulus": 210e3,
        "shear_modulus": 81e3,
        "area": 7.4e3,
        "second_moment_x": 92e6,
        "second_moment_y": 31e6,
        "product_moment": 17e6,
        "torsion_constant": 0.9e6,
        "warping_constant": 240e9,
        "centroid": (22.0, 140.0),
        "shear_centre": (-31.0, 165.0),
        "shear_area_x": 2.9e3,
        "shear_area_y": 3.1e3,
        "monosymmetry_x": 45.0,
        "monosymmetry_y": -30.0,
        "mass_per_length": 7.4e3 * 7.85e-9,
        "name": "skew",
    }
    return SectionConstants(**(figures | more))


def closed_section(**more: Any) -> SectionConstants:
    """An invented deck box in kN and m: hardly warps."""
    figures: dict[str, Any] = {
        "elastic_modulus": 34e6,
        "shear_modulus": 14e6,
        "area": 5.2,
        "second_moment_x": 2.4,
        "second_moment_y": 31.0,
        "torsion_constant": 4.1,
        "warping_constant": 1.3,
        "centroid": (0.0, -0.6),
        "shear_centre": (0.0, -0.8),
        "mass_per_length": 13.0,
        "width": 12.0,
        "name": "deck",
    }
    return SectionConstants(**(figures | more))


def torque_member(
    section: SectionConstants, length: float, supports: list[Support], *loads: PointLoad | LineLoad
) -> Member:
    """A straight prismatic member."""
    return Member.prismatic(Axis.straight(length), section, supports, loads=loads)
