"""The stress of each unit action, solved once; every load case is a combination of these eight
fields."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ....geometry.errors import InputError
from ...plane_section import warps
from ..area.properties import modulus_ratios
from ..elements.integrals import TrianglePoints
from ..mesh.section_mesh import Array, Ints
from ..result import SectionResult
from ..solve import one_order_less
from ..torsion.interval import TorsionField
from .actions import NAMES, SYMBOLS
from .flexure import (
    FlexureField,
    load_stations,
    poisson_a,
    poisson_b,
    solve_flexure,
)


@dataclass(frozen=True, slots=True, eq=False)
class UnitArrays:
    """Stress of the eight unit actions at the same stations.

    Attributes
    ----------
    sigma : (8, t, q)
    tau : (8, t, q, 2)
    """

    sigma: Array
    tau: Array

    def combined(self, actions: Array) -> tuple[Array, Array]:
        """sigma (t, q) and tau (t, q, 2) of an (8,) vector of actions."""
        return np.tensordot(actions, self.sigma, 1), np.tensordot(actions, self.tau, 1)


@dataclass(frozen=True, eq=False)
class UnitStress:
    """The fields behind the eight unit actions of a solved section.

    Attributes
    ----------
    result : SectionResult
    flexure : FlexureField
    modulus : (t,)
        Relative elastic modulus of each triangle.
    """

    result: SectionResult
    flexure: FlexureField
    modulus: Array

    @property
    def field(self) -> TorsionField:
        """The torsion fields."""
        return self.result.field

    @property
    def warps(self) -> bool:
        """False for sections that stay plane in torsion."""
        m = self.result.second_moments
        return warps(self.result.warping_constant, m.x, m.y, self.result.area)

    @cached_property
    def lower_order(self) -> UnitStress:
        """The same fields solved on the same mesh with one order less."""
        return unit_stress(one_order_less(self.result))

    def evaluate(
        self, stations: TrianglePoints, triangles: Ints | slice = slice(None)
    ) -> UnitArrays:
        """The eight unit stresses at stations of the given triangles."""
        base = self._base(stations, triangles)
        sigma = np.einsum("ab,btq->atq", self._sigma_mix, base.sigma)
        tau = np.einsum("ab,btqd->atqd", self._tau_mix, base.tau, optimize=True)
        return UnitArrays(sigma, tau)

    def check_vector(self, actions: Array) -> None:
        """Refuse bimoment and warping torque on a section that does not warp."""
        for k in (6, 7):
            if actions[k] and not self.warps:
                raise InputError(
                    f"{SYMBOLS[k]} = {actions[k]:g}: this section does not warp (C_w = 0) and can "
                    f"carry no "
                    f"{NAMES[k].replace('_', ' ')}; put it all on T"
                )

    # -- base fields: sigma of 1, x, y, omega; tau of psi_a.., torsion, psi_w ----------------------
    def _base(self, stations: TrianglePoints, triangles: Ints | slice) -> UnitArrays:
        field, flexure = self.field, self.flexure
        r = stations.points - field.origin
        x, y = r[..., 0], r[..., 1]
        e = self.modulus[triangles][:, None]
        g = field.shear[triangles][:, None, None]
        omega_coefficients = field.omega[triangles]
        omega = self.result.warping_properties.about_shear_centre(
            stations.points, stations.values(omega_coefficients)
        )
        sigma = np.stack([e * np.ones_like(x), e * x, e * y, e * omega])
        tau = np.empty((7, *r.shape))
        nu = flexure.poisson[triangles][:, None, None]
        for k, c in enumerate((flexure.psi_a, flexure.psi_b)):
            tau[k] = g * stations.gradients(c[triangles])
        for k, (c, p) in enumerate(((flexure.chi_a, poisson_a), (flexure.chi_b, poisson_b))):
            tau[2 + k] = g * (stations.gradients(c[triangles]) + nu * p(x, y))
        slope = stations.gradients(field.phi[triangles])
        tau[4, ..., 0], tau[4, ..., 1] = slope[..., 1], -slope[..., 0]
        tau[5] = g * (stations.gradients(omega_coefficients) + np.stack([-y, x], axis=2))
        tau[6] = g * stations.gradients(flexure.psi_w[triangles])
        return UnitArrays(sigma, tau)

    def torsion_disagreement(self, stations: TrianglePoints, triangles: Ints | slice) -> Array:
        """(t, q) difference of the two stress estimates of a unit torque."""
        tau = self._base(stations, triangles).tau
        torque, _ = self._base_resultants
        apart = tau[4] / torque[4] - tau[5] / torque[5]
        return np.asarray(np.hypot(apart[..., 0], apart[..., 1]))

    @cached_property
    def _base_resultants(self) -> tuple[Array, Array]:
        """Torque about the centroid of each base shear field (7,), and their energy products (7,
        7)."""
        stations = load_stations(self.field)
        base = self._base(stations, slice(None))
        r = stations.points - self.field.origin
        moment = r[..., 0] * base.tau[..., 1] - r[..., 1] * base.tau[..., 0]
        torque = np.einsum("ktq,tq->k", moment, stations.weights)
        weighted = base.tau * np.sqrt(stations.weights / self.field.shear[:, None])[..., None]
        flat = weighted.reshape(7, -1)
        return torque, flat @ flat.T

    @cached_property
    def _sigma_mix(self) -> Array:
        """(8, 4) unit actions from the base sigma fields."""
        m, result = self.result.second_moments, self.result
        mix = np.zeros((8, 4))
        mix[0, 0] = 1 / result.area
        # sigma = E (alpha x + beta y) with int sigma y = M_x and int sigma x = -M_y
        inverse = np.linalg.inv(np.array([[m.y, m.xy], [m.xy, m.x]]))
        mix[1, 1:3] = inverse @ [0, 1]
        mix[2, 1:3] = inverse @ [-1, 0]
        if self.warps:
            mix[7, 3] = -1 / result.warping_constant
        return mix

    @cached_property
    def _tau_mix(self) -> Array:
        return self._shear_mix(
            self.flexure.poisson_scale, self.result.shear_centre - self.field.origin
        )

    def _shear_mix(self, poisson: float, through: Array) -> Array:
        """(8, 7) unit actions from the base shear fields; V acts through the given point from the
        centroid."""
        m = self.result.second_moments
        torque, _ = self._base_resultants
        mix = np.zeros((8, 7))
        mix[5, 4:6] = (
            0.5 / torque[4:6]
        )  # both estimates, each scaled to the torque it really carries
        stiff = self._shear_over_elastic(poisson) * poisson
        inverse = np.linalg.inv(np.array([[m.y, m.xy], [m.xy, m.x]]))
        for k, direction in ((3, (1.0, 0.0)), (4, (0.0, 1.0))):
            a, b = inverse @ direction
            mix[k, :4] = a, b, stiff * a, stiff * b
            own = mix[k] @ torque
            wanted = through[0] * direction[1] - through[1] * direction[0]
            mix[k] += (wanted - own) * mix[5]
        if self.warps:
            mix[6, 6] = 1 / self.result.warping_constant
            # grad psi has no Saint-Venant torque about the shear centre, nor any force: only T_w
        return mix

    def _shear_over_elastic(self, poisson: float) -> float:
        """G/E of the reference material; of an isotropic one when another Poisson's ratio is asked
        about."""
        reference = self.result.reference
        if poisson == self.flexure.poisson_scale:
            return reference.shear / reference.elastic_modulus
        return 1 / (2 * (1 + poisson))

    # -- what follows from the fields --------------------------------------------------------------
    def shear_flexibility(self, poisson: float | None = None) -> Array:
        """(2, 2) energy flexibility f with (V f V)/2 = G_ref int tau^2/(2 G): shear areas are
        1/f_xx, 1/f_yy.

        V acts through the shear centre. `poisson` asks about another ratio than the material's own.
        """
        nu = self.flexure.poisson_scale if poisson is None else poisson
        mix = self._shear_mix(nu, self.result.shear_centre - self.field.origin)[3:5]
        return mix @ self._base_resultants[1] @ mix.T

    def secondary_torsion_constant(self) -> float | None:
        """J_s with T_w^2 / (2 G J_s) = int tau_w^2 / (2 G) for the shear of restrained warping;
        None where the section does not warp.

        The two shears of torsion do no work on each other, since tau_w has the warping moment
        alone for its source, so G J_s is a stiffness of its own beside G J.
        """
        if not self.warps:
            return None
        return float(self.result.warping_constant**2 / self._base_resultants[1][6, 6])

    def flexural_shear_centre(self, poisson: float | None = None) -> Array:
        """(2,) point through which shear bends without mean twist (Timoshenko & Goodier), axes of
        the input.

        Depends on Poisson's ratio, unlike Trefftz's point; the two agree for thin walls.
        """
        nu = self.flexure.poisson_scale if poisson is None else poisson
        m = self.result.second_moments
        torque, _ = self._base_resultants
        stiff = self._shear_over_elastic(nu) * nu
        inverse = np.linalg.inv(np.array([[m.y, m.xy], [m.xy, m.x]]))
        per_direction = (torque[:2] + stiff * torque[2:4]) @ inverse
        x, y = self.field.origin
        return np.array([x + per_direction[1], y - per_direction[0]])


def unit_stress(result: SectionResult) -> UnitStress:
    """Solve the shear problems of a section and gather its unit stresses.

    Raises
    ------
    InputError
        When some regions have a material and others none: their stresses would mean nothing.
    """
    regions = result.section.regions
    named = [r.material.specified for r in regions]
    if any(named) and not all(named):
        k = named.index(False)
        raise InputError(
            f"region {regions[k].name or k + 1!s} has no material but others have; stresses need "
            "one for each"
        )
    region = result.field.mesh.region
    modulus = modulus_ratios(result.section)[region]
    poisson = np.array([r.material.poisson_ratio for r in result.section.regions])[region]
    flexure = solve_flexure(result.field, result.warping_properties, modulus, poisson)
    return UnitStress(result, flexure, modulus)
