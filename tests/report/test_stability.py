"""What a member's report says of buckling."""

from __future__ import annotations

import csv
import io

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.member.mode_figure import drawable, plot_mode
from soapfilm.report.member.record import member_record
from soapfilm.report.member.stability import HEADING, mode_csv
from soapfilm.report.member.table import member_table
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess

PURLIN = """
unit = "mm"
[material.sheet]
E = "210 GPa"
nu = 0.3
strength = "{strength}"
source = "nominal"
[section.purlin]
[[section.purlin.shape]]
profile = "C"
Depth = 202
Width = 76
WallThickness = 2
Girth = 21
material = "sheet"
[[span]]
length = "1.2 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[points]
top = [-37, 101]
[[load]]
name = "roof"
weight = "{weight}"
place = "top"
from = "start"
to = "end"
"""


def purlin(weight: str, strength: str = "350 MPa") -> Assessment:
    text = PURLIN.replace("{weight}", weight).replace("{strength}", strength)
    return assess(member_from_toml(text, name="purlin"), cures=False)


@pytest.fixture(scope="module")
def loaded() -> Assessment:
    return purlin("9 kN/m")


def test_the_table_has_both_theories_and_the_mode(loaded: Assessment) -> None:
    text = member_table(loaded)
    part = text[text.index(HEADING) :]
    row = next(line for line in part.splitlines() if line.startswith("load "))
    stability = loaded.stability
    assert stability is not None
    assert not isinstance(stability, str)
    moved = stability.lowest.movement
    assert moved is not None
    assert moved.movement.words in row
    words = " ".join(part.split())
    assert "below the classical one" in words
    assert stability.lowest.factor < 0.97 * stability.lowest.classical


def test_the_record_and_the_csv_tell_the_same(loaded: Assessment) -> None:
    record = member_record(loaded)["buckling"]["combinations"][0]
    stability = loaded.stability
    assert stability is not None
    assert not isinstance(stability, str)
    assert record["critical_load_factor"] == stability.lowest.factor
    assert record["classical"] == loaded.solution.critical[0].factor
    rows = list(csv.DictReader(io.StringIO(mode_csv(loaded))))
    assert float(rows[0]["factor"]) == pytest.approx(stability.lowest.factor)
    assert {row["mode"] for row in rows} == {record["mode"]["name"]}
    assert max(abs(float(row["across"])) for row in rows) <= 1.5


def test_the_mode_is_drawn_with_its_section(loaded: Assessment) -> None:
    row = drawable(loaded)
    assert row is not None
    axes = plot_mode(loaded)
    assert len(axes.figure.axes) == 2
    assert any("across" in str(line.get_label()) for line in axes.get_lines())


def test_what_yields_first_is_said(loaded: Assessment) -> None:
    row = loaded.stability.lowest  # type: ignore[union-attr]
    assert row.yields_first == (row.yields_at < row.factor)
    assert ("yields first" in " ".join(member_table(loaded).split())) == row.yields_first


def test_far_from_buckling_no_more_is_asked() -> None:
    found = purlin("0.1 kN/m")
    text = " ".join(member_table(found).split())
    assert "The member buckles beyond 30 times its loads under every combination" in text
    assert drawable(found) is None
    assert member_record(found)["buckling"]["beyond"] == 30.0


def test_a_limit_far_below_says_that_its_value_is_a_bound() -> None:
    text = PURLIN.replace("{strength}", "350 MPa").replace("{weight}", "0.1 kN/m")
    found = assess(
        member_from_toml(text + "[[limit]]\ncritical_factor = 8\n", name="purlin"), cures=False
    )
    (row,) = found.limits
    assert row.row.passed
    assert "at least 8 (it is beyond 30)" in member_table(found)


def test_loads_that_only_buckle_it_reversed() -> None:
    """Uplift along the tension flange's side: the least factor belongs to the reversed loads."""
    text = PURLIN.replace("{strength}", "350 MPa").replace('weight = "{weight}"', 'q_y = "9 kN/m"')
    found = assess(member_from_toml(text, name="purlin"), cures=False)
    row = found.stability.lowest  # type: ignore[union-attr]
    text = " ".join(member_table(found).split())
    assert ("it would buckle sooner" in text) == (row.reversed < 0.999 * row.factor)


@pytest.mark.parametrize(("least", "passed"), [(2.0, True), (25.0, False)])
def test_the_factor_as_a_limit(loaded: Assessment, least: float, passed: bool) -> None:
    """By the theory whose sections deform."""
    text = PURLIN.replace("{strength}", "350 MPa").replace("{weight}", "9 kN/m")
    text += f"[[limit]]\ncritical_factor = {least}\n"
    found = assess(member_from_toml(text, name="purlin"), cures=False)
    (row,) = found.limits
    assert row.row.value == pytest.approx(loaded.stability.lowest.factor)  # type: ignore[union-attr]
    assert row.row.passed is passed
    assert found.solution.critical[0].factor > 2.0


def test_a_limit_that_is_none() -> None:
    text = PURLIN.replace("{strength}", "350 MPa").replace("{weight}", "9 kN/m")
    with pytest.raises(InputError, match="critical_factor must be above 1"):
        member_from_toml(text + "[[limit]]\ncritical_factor = 0.5\n", name="purlin")


def test_second_order_is_told_once_for_all_combinations() -> None:
    text = PURLIN.replace("{strength}", "350 MPa").replace("{weight}", "9 kN/m")
    text += '[[combination]]\nname = "one"\nfactors = { roof = 1.0 }\n'
    text += '[[combination]]\nname = "less"\nfactors = { roof = 0.9 }\n'
    found = assess(member_from_toml(text.replace('name = "roof"', 'case = "roof"')), cures=False)
    one, less = found.stability.rows  # type: ignore[union-attr]
    words = " ".join(member_table(found).split())
    assert 1 < one.factor < less.factor < 10
    assert words.count("second order counts. Motion grows to at most") == 1
    assert words.count("The member yields first") == int(one.yields_first or less.yields_first)
    for row in (one, less):
        assert f"{1 / (1 - 1 / row.factor):.3g} under {row.name!r}" in words
