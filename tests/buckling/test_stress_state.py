"""The stress that buckles a section is that of `soapfilm stress`, sign by sign, and materials count
by region."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.open import u_shape
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section.buckling.prepared import Prepared, prepared
from soapfilm.solver.section.buckling.prestress import stress_of_actions
from soapfilm.solver.section.buckling.solution import buckling_of, solve_buckling
from soapfilm.solver.section.elements.basis import sampled_basis
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.mesh.location import locate
from soapfilm.solver.section.solve import solve_section
from soapfilm.solver.section.stress.actions import NAMES, Actions
from soapfilm.solver.section.stress.unit_stress import UnitStress, unit_stress

STEEL = Material("steel", 210e3, 0.3)
#: Symmetric about one axis alone, so that every sign shows.
CHANNEL = u_shape(
    depth=120, flange_width=70, web_thickness=10, flange_thickness=14, fillet_radius=8
).section(material=STEEL)


@pytest.fixture(scope="module")
def channel() -> tuple[Prepared, UnitStress]:
    return prepared(CHANNEL), unit_stress(solve_section(CHANNEL, 1e-6))


@pytest.mark.parametrize("name", [n for n in NAMES if n != "warping_torque"])
def test_stress_of_each_action(channel: tuple[Prepared, UnitStress], name: str) -> None:
    """In the middle of every tenth triangle, both methods on meshes of their own."""
    ready, units = channel
    vector = ready.actions_of(Actions(**{name: 1.0}))
    at = stress_of_actions(ready.fields, ready.elastic, ready.chains, vector)
    some = np.arange(0, len(ready.fields.mesh.triangles), 10)
    spots = ready.fields.spots(some, sampled_basis(ready.fields.order, 1))
    sigma, tau = at(spots)
    sigma = sigma[:, 0]
    tau = np.zeros((len(some), 2)) if tau is None else tau[:, 0]
    mesh, order = units.field.mesh, units.field.order
    triangle, xi, eta = locate(mesh, spots.points[:, 0])
    for k, t in enumerate(triangle):
        one = np.array([t])
        there = units.evaluate(stations_at(mesh, order, xi[[k]], eta[[k]], one), one)
        normal, shear = there.combined(vector)
        assert sigma[k] == pytest.approx(normal[0, 0], rel=1e-3, abs=1e-3 * np.abs(sigma).max())
        assert tau[k] == pytest.approx(shear[0, 0], rel=3e-3, abs=3e-3 * np.abs(tau).max())


def test_the_sense_of_an_action_counts() -> None:
    """A channel is stiffer with its web in compression than with its flanges' tips."""
    ready = prepared(CHANNEL)
    tips, web = (
        buckling_of(ready, Actions(moment_y=sign), 40.0, 300.0).factors[:, 0].min()
        for sign in (1.0, -1.0)
    )
    assert tips != pytest.approx(web, rel=0.05)
    right = ready.fields.mesh.vertices[:, 0].max() - ready.chains.centroid[0]
    left = ready.chains.centroid[0] - ready.fields.mesh.vertices[:, 0].min()
    assert right > left  # M_y > 0 is tension at -x: the tips are compressed more
    stress = [ready.pencil(ready.actions_of(Actions(moment_y=s))).stress for s in (1.0, -1.0)]
    assert stress[0].compression / stress[0].tension == pytest.approx(right / left, rel=1e-2)
    assert stress[1].compression / stress[1].tension == pytest.approx(left / right, rel=1e-2)


def test_materials_count_by_region() -> None:
    """A tube of two half-tubes: twice the moduli, twice the load; a stiff half takes more."""
    half = [(-50, -50), (0, -50), (0, -47), (-47, -47), (-47, 47), (0, 47), (0, 50), (-50, 50)]
    mirrored = [(-x, y) for x, y in half[::-1]]

    def tube(left: float, right: float) -> Section:
        regions = (
            Region(Contour(half), (), Material("left", left, 0.3)),
            Region(Contour(mirrored), (), Material("right", right, 0.3)),
        )
        return Section(regions, unit="mm")

    def load(section: Section) -> float:
        ready = prepared(section)
        pencil = ready.pencil(ready.actions_of(Actions(axial_force=-1.0)))
        return float(pencil.lowest(np.pi / 4000, 2)[0][0])

    one, twice, mixed = (
        load(tube(*moduli)) for moduli in ((100e3, 100e3), (200e3, 200e3), (100e3, 200e3))
    )
    whole = rectangle_hollow(x_dim=100, y_dim=100, wall_thickness=3)
    same = load(whole.section(material=Material("plain", 100e3, 0.3)))
    assert one == pytest.approx(same, rel=1e-3)
    assert twice == pytest.approx(2 * one, rel=1e-6)
    # the transformed section bends about y through its own centroid
    inertia, area = (100**4 - 94**4) / 12, 100**2 - 94**2
    arm = 2 * (50 * 3 * 25 + 47 * 3 * 48.5) / (area / 2)  # of a half: its flange and half its web
    own = inertia / 2 - area / 2 * arm**2
    centre = arm / 3  # toward the stiffer half
    bending = sum(
        e * (own + area / 2 * (side * arm - centre) ** 2) for e, side in ((200e3, 1), (100e3, -1))
    )
    assert bending < 1.5 * 100e3 * inertia
    assert mixed == pytest.approx(np.pi**2 * bending / 4000**2, rel=1e-2)


def test_walls_of_a_thousandth() -> None:
    """A square tube of 999 x 1 at its mid-lines: four hinged plates, k = 4."""
    tube = rectangle_hollow(x_dim=1000, y_dim=1000, wall_thickness=1).section(material=STEEL)
    ready = prepared(tube)
    pencil = ready.pencil(ready.actions_of(Actions(axial_force=-1.0)))
    found = pencil.lowest(np.pi / 999, 2)[0][0] * pencil.stress.compression
    plate = 4 * np.pi**2 * 210e3 / (12 * (1 - 0.3**2)) / 999**2
    assert found == pytest.approx(plate, rel=1e-3)


def test_a_slit_frees_the_walls_beside_it() -> None:
    """An unjoined contact lets a tube's corner open: it buckles by twisting, far lower."""
    outline = Contour([(-50, -50), (50, -50), (50, 50), (-50, 50)])
    hole = Contour([(-46, -46), (-46, 46), (46, 46), (46, -46)])
    closed = Section.single(outline, [hole], material=STEEL, unit="mm")
    slit = Slit(((46.0, 0.0), (50.0, 0.0)))
    opened = Section(closed.regions, unit="mm", slits=(slit,))
    factors = [
        solve_buckling(s, Actions(axial_force=-1.0), shortest=1500, longest=3000).longest[0]
        for s in (closed, opened)
    ]
    assert factors[1].factor < 0.6 * factors[0].factor
    assert factors[1].movement.kind in ("torsional", "flexural-torsional")


def test_tension_and_rest_are_refused() -> None:
    ready = prepared(CHANNEL)
    with pytest.raises(InputError, match="in tension: nothing buckles"):
        ready.pencil(ready.actions_of(Actions(axial_force=1e6, moment_x=1.0)))
    with pytest.raises(InputError, match="no action"):
        ready.actions_of(Actions())
