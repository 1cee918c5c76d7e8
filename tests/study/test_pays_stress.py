"""Where material pays for the largest stresses of a section under actions: closed forms, sections
solved anew, equal peaks, table, JSON, CSV, and what is refused."""

from __future__ import annotations

import csv
import json
import math
from pathlib import Path

import pytest
import soapfilm as sf
from soapfilm.cli.main import main
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.units import Units
from soapfilm.report.pay.stress_pay import stress_elasticity
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.section.derivative.largest import PeakRate, Rates
from soapfilm.solver.section.derivative.section_rate import FollowedSection
from soapfilm.solver.section.solve import solve_on
from soapfilm.solver.section.stress.case_file import typed_case
from soapfilm.solver.section.stress.components import COMPONENTS
from soapfilm.solver.section.stress.extremes import Search, Spot
from soapfilm.solver.section.stress.unit_stress import unit_stress
from soapfilm.solver.study.derivative.section_pay import SectionPay, section_pay
from soapfilm.solver.study.file.section_base import SectionBase

TUBE = 'unit = "mm"\n[[shape]]\nprofile = "CircleHollow"\nRadius = 100\nWallThickness = 8\n'
BAR = 'unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 30\nYDim = 80\nmaterial = "S355"\n'
ANGLE = (
    'unit = "mm"\n[[shape]]\nprofile = "L"\nDepth = 120\nWidth = 80\nThickness = 10\n'
    "FilletRadius = 11\nEdgeRadius = 5.5\n"
)
SHARP = (
    'unit = "mm"\n[[outline]]\nname = "angle"\n'
    "points = [[0, 0], [90, 0], [90, 20], [15, 20], [15, 140], [0, 140]]\n"
)


def _paid(
    folder: Path, text: str, *words: str, through: str | None = None, number: str = ""
) -> SectionPay:
    path = folder / "section.toml"
    path.write_text(text)
    case = typed_case(words, through, Units("mm"))
    return section_pay(SectionBase.from_file(path), [number] if number else [], 1e-6, [case])


def _elastic(pay: SectionPay, component: str, side: int = 1) -> dict[str, tuple[float, float]]:
    """Elasticity of an extreme to each number, and its doubt."""
    (k,) = (
        k
        for k, one in enumerate(pay.stresses)
        if (one.component.key, one.side) == (component, side)
    )
    found = {}
    for one in pay.numbers:
        elastic = stress_elasticity(one, pay.stresses[k], one.stresses[k])
        assert elastic is not None
        found[one.number.name.rpartition(".")[2]] = elastic
    return found


def test_round_tube_by_hand(tmp_path: Path) -> None:
    """N + M + T of a tube of radii R and r = R - t: sigma = N/A + M R/I, tau = T R/(2 I),
    sigma_v^2 = sigma^2 + 3 tau^2."""
    n, m, t = 150e3, 20e6, 12e6

    def mises(radius: float, wall: float) -> float:
        inner = radius - wall
        area = math.pi * (radius**2 - inner**2)
        moment = math.pi / 4 * (radius**4 - inner**4)
        sigma, tau = n / area + m * radius / moment, t * radius / (2 * moment)
        return math.hypot(sigma, math.sqrt(3) * tau)

    pay = _paid(tmp_path, TUBE, "N = 150 kN", "M_x = 20 kN*m", "T = 12 kN*m")
    found = _elastic(pay, "von Mises")
    h = 1e-4
    for name, at in (("Radius", lambda s: (100 * s, 8)), ("WallThickness", lambda s: (100, 8 * s))):
        exact = float(derivative([math.log(mises(*at(1 + k * h))) for k in STEPS], h))
        value, doubt = found[name]
        assert value == pytest.approx(exact, abs=1e-6)
        assert abs(value - exact) <= doubt


def test_rectangle_under_moment_and_shear_by_hand(tmp_path: Path) -> None:
    """sigma = 6 M/(b h^2) at the outer fibre: -1 to b, -2 to h. The largest shear of V on a narrow
    one is 1.5 V/A to a few percent (Poisson's ratio raises it near the faces; Timoshenko & Goodier,
    Theory of Elasticity, article 123): all stresses of V scale by the size squared, so that both
    elasticities are -2 together."""
    pay = _paid(tmp_path, BAR, "M_x = -4 kN*m", "V_y = 30 kN")
    normal = _elastic(pay, "normal")
    assert normal["XDim"][0] == pytest.approx(-1, abs=1e-6)
    assert normal["YDim"][0] == pytest.approx(-2, abs=1e-6)
    shear = _elastic(pay, "shear")
    both = shear["XDim"][0] + shear["YDim"][0]
    assert both == pytest.approx(-2, abs=shear["XDim"][1] + shear["YDim"][1])
    assert both == pytest.approx(-2, abs=1e-4)
    assert shear["XDim"][0] == pytest.approx(-1, abs=0.06)
    # mirrored peaks are alike: no word of them
    text = sf.pays(tmp_path / "section.toml", M_x="-4 kN*m", V_y="30 kN").text()
    assert "equally high" not in text
    assert "another place" not in text


def test_shear_beside_the_shear_centre_of_an_angle(tmp_path: Path) -> None:
    """The shear's line stands still while the shear centre moves: beside sections solved anew on
    the mesh that follows."""
    words, through = ("V_y = 20 kN", "M_x = -3 kN*m"), "40 mm, 0 mm"
    pay = _paid(tmp_path, ANGLE, *words, through=through, number="shape.1.Thickness")
    assert pay.stress is not None
    case = typed_case(words, through, Units("mm"))
    h, base = 2e-4, SectionBase.from_file(tmp_path / "section.toml")
    moving, values = FollowedSection.of(pay.result), []
    for k in STEPS:
        section = base.section({"shape.1.Thickness": 10 * (1 + k * h)})
        plan = checked_map(section)
        mesh = moving.following.onto(plan)
        assert mesh is not None
        result = solve_on(section, plan, mesh, pay.result.field.order)
        vector = case.vector(result.shear_centre)
        search = Search.over(unit_stress(result))
        values.append(math.log(search.extreme(vector, COMPONENTS["von Mises"], 1).value))
    value, doubt = _elastic(pay, "von Mises")["Thickness"]
    exact = float(derivative(values, h))
    assert value == pytest.approx(exact, abs=doubt)
    assert value == pytest.approx(exact, rel=1e-3)


def test_sharp_corners_are_refused_as_stress_refuses_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Torsion peaks at the corner; bending is bounded there."""
    path = tmp_path / "section.toml"
    path.write_text(SHARP)
    assert main(["pays", str(path), "angle.points.2.x", "T = 1 kN*m"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "No derivative of τ (the given actions), " in text
    assert "the largest stress lies at the edge of what is left out around a sharp corner" in text
    assert "shear is unbounded at sharp corners" in text.lower()
    assert main(["pays", str(path), "angle.points.2.x", "M_x = 1 kN*m", "--json"]) == 0
    (number,) = json.loads(capsys.readouterr().out)["numbers"]
    assert all(one["elasticity"] is not None for one in number["stresses"])


def test_square_bar_has_two_derivatives(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The largest shear of a torque lies at the middle of all four sides of a square. Stress is of
    degree -3 in the size, and what one side's length does to its own middle the other's does to the
    other's: both elasticities to one of them add up to -3. Nearly square, the shorter pair of sides
    takes over where the longer is as short."""
    path = tmp_path / "section.toml"
    square = BAR.replace("XDim = 30", "XDim = 80")
    path.write_text(square)
    assert main(["pays", str(path), "shape.1.XDim", "T = 1 kN*m", "--json"]) == 0
    (number,) = json.loads(capsys.readouterr().out)["numbers"]
    (mises,) = (s for s in number["stresses"] if s["component"] == "von Mises")
    share = mises["elasticity"] / mises["derivative"]
    both = [rate * share for rate in mises["derivative_growing_and_falling"]]
    assert sum(both) == pytest.approx(-3, abs=1e-3)
    assert both[0] > both[1] + 0.1
    path.write_text(square.replace("XDim = 80", "XDim = 80.2"))
    assert main(["pays", str(path), "shape.1.XDim", "T = 1 kN*m"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "99.90 % of the largest and takes over where shape.1.XDim changes by -0.25 %" in text


def test_peaks_that_tie() -> None:
    """What follows from peaks and their derivatives."""
    low = Spot(1.0, 0, 0.0, 0.0, (0.0, 0.0))
    high, near = Spot(1.0, 1, 0.0, 0.0, (1.0, 0.0)), Spot(0.995, 2, 0.0, 0.0, (2.0, 0.0))
    rates = Rates((PeakRate(low, -1.0), PeakRate(high, 3.0), PeakRate(near, 9.0)))
    assert (rates.rises, rates.falls, rates.smooth) == (3.0, -1.0, False)
    assert (rates.rate, rates.doubt) == (3.0, 4.0)
    taken = rates.taken_over()
    assert taken is not None
    assert taken[0].peak == near
    assert taken[1] == pytest.approx(0.005 / 10)
    # what the doubts do not tell apart is one derivative
    alike = Rates((PeakRate(low, -1.0, 0.1), PeakRate(high, -0.9, 0.1)))
    assert alike.smooth
    assert alike.rate == -1.0


def test_moduli_have_no_derivative(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """J was said not to change with a material's E, which changes its G."""
    path = tmp_path / "section.toml"
    path.write_text(
        'unit = "mm"\n[material.a]\nE = "210 GPa"\nnu = 0.3\n[material.b]\nE = "33 GPa"\nnu = 0.2\n'
        '[[outline]]\nmaterial = "a"\npoints = [[0, 0], [50, 0], [50, 20], [0, 20]]\n'
        '[[outline]]\nmaterial = "b"\npoints = [[0, 20], [50, 20], [50, 60], [0, 60]]\n'
    )
    assert main(["pays", str(path), "material.b.E", "M_x = 1 kN*m"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "No derivative to material.b.E: it changes a material's stiffness" in text
    assert "Elasticities" not in text


def test_record_rows_and_python(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, rows = tmp_path / "section.toml", tmp_path / "rows.csv"
    path.write_text(BAR)
    cases = tmp_path / "cases.toml"
    cases.write_text('[[case]]\nname = "wind"\nM_x = "-1 kN*m"\n')
    assert main(["pays", str(path), "shape.1.YDim", "--cases", str(cases), "--csv", str(rows)]) == 0
    text = capsys.readouterr().out
    assert "Elasticities of the largest stresses: wind" in text
    own = {r["property"]: r for r in csv.DictReader(rows.open()) if r["case"] == "wind"}
    assert float(own["von Mises max"]["elasticity"]) == pytest.approx(-2, abs=1e-6)
    found = sf.pays(path, "shape.1.YDim", M_x="-1 kN*m").to_dict()
    assert found["stress_unit"] == "MPa"
    (mises,) = (s for s in found["stresses"] if s["component"] == "von Mises")
    assert mises["value"] == pytest.approx(6e6 / (30 * 80**2), rel=1e-9)
    (number,) = found["numbers"]
    (rate,) = (s for s in number["stresses"] if s["component"] == "von Mises")
    assert rate["derivative"] == pytest.approx(-2 * mises["value"] / 80, rel=1e-6)
    assert rate["elasticity_by_weight"] == pytest.approx(-2, rel=1e-6)
    assert len(rate["other_peaks"]) >= 1  # the other face
    assert rate["derivative_growing_and_falling"] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["N = 0 kN"], 'no action; give at least one, like "V_y = 120 kN"'),
        (["N = nan kN"], "'nan kN' is not a number with a unit"),
        (["N = 1e308 kN"], "'1e308 kN' is too large; give a real force"),
        (["N = 1e200 kN"], "N = 1e+203 N is too much for its stress to be worked out"),
        (["N = 1e-320 kN"], "is too little for its stress to be worked out"),
        (["V_y = 3 parsec"], "'3 parsec' is not a force"),
        (["V_z = 3 kN"], "there is no action 'V_z'; did you mean V_y?"),
        (["V_y = 1 kN", "V_y = 2 kN"], "V_y is given twice"),
        (["--through", "1 mm, 2 mm"], "--through is of a shear force, and none acts"),
        (["N = 1 kN", "--cases", "none.toml"], "on the command line or in --cases, not both"),
    ],
)
def test_hostile_actions_are_one_line(
    words: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "section.toml"
    path.write_text(BAR)
    assert main(["pays", str(path), *words]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert len(error.splitlines()) == 1


def test_actions_belong_to_section_files(
    beam: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["pays", str(beam), "V_y = 1 kN"]) == 2
    assert "leave the actions out, or give the section's own file" in capsys.readouterr().err
    assert main(["pays", "W10X49", "V_y = 1 kN"]) == 2
    assert "actions are for section files (.toml)" in capsys.readouterr().err
    with pytest.raises(InputError, match="a member has its loads in its file"):
        sf.pays(beam, V_y="1 kN")
    with pytest.raises(InputError, match=r"actions are for section files \(.toml\)"):
        sf.pays("W10X49", V_y="1 kN")
    tube = tmp_path / "tube.toml"
    tube.write_text(TUBE)
    with pytest.raises(InputError, match="this section does not warp"):
        sf.pays(tube, B="1 kN*m^2")
