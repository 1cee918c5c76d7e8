"""[[diaphragm]] tables of a member file, and what is said of mistakes in them."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.file import MemberRequest, member_from_toml

TOP = """
unit = "mm"
[[span]]
length = "20 m"
[section.tube]
E = "210 GPa"
G = "80 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "5 kN/m"
place = [300, 0]
"""


def read(*parts: str) -> MemberRequest:
    return member_from_toml(TOP + "".join(f"[[diaphragm]]\n{part}\n" for part in parts))


def test_a_row_of_rigid_diaphragms() -> None:
    found = read('every = "5 m"\nfrom = "5 m"\nto = "15 m"').member.diaphragms
    assert [d.at for d in found] == [5_000, 10_000, 15_000]
    assert all(d.rigid for d in found)
    assert found[1].title == "diaphragm at 10000 mm"


def test_a_plate_takes_the_members_own_elasticity() -> None:
    (found,) = read(
        'at = "middle"\nthickness = "15 mm"\nopening = ["800 mm", "0.6 m"]\nname = "manhole"'
    ).member.diaphragms
    assert found.title == "manhole"
    assert found.plate is not None
    assert found.plate.thickness == 15
    assert found.plate.opening == (800, 600)
    assert found.plate.elastic_modulus == pytest.approx(210e3)
    assert found.plate.poisson_ratio == pytest.approx(210 / 160 - 1)


def test_a_frame_of_bars() -> None:
    (found,) = read(
        'at = "4 m"\nbars = [{ from = [-90, -70], to = [90, 70], area = "20 cm^2", E = "70 GPa" }]'
    ).member.diaphragms
    (bar,) = found.bars
    assert (bar.start, bar.end) == ((-90, -70), (90, 70))
    assert bar.area == pytest.approx(2000)
    assert bar.elastic_modulus == pytest.approx(70e3)


def test_the_classical_theory_alone_may_be_asked_for() -> None:
    words = '[analysis]\nsections = "keep their shape"\n'
    assert member_from_toml(TOP + words).keep_shape
    assert not member_from_toml(TOP).keep_shape


@pytest.mark.parametrize(
    ("part", "says"),
    [
        ('at = "21 m"', "lies outside the member, which runs from 0 to 20000 mm"),
        ('at = "5 m"\nevery = "5 m"', "give either at"),
        ('every = "0 m"', "every must be a positive length"),
        ('at = "5 m"\nopening = [800, 600]', "give its thickness"),
        ('at = "5 m"\nthickness = "-3 mm"', "thickness must be positive"),
        (
            'at = "5 m"\nthickness = 3\nbars = [{ from = [0, 0], to = [1, 0], area = "3 mm^2" }]',
            "not both",
        ),
        (
            'at = "5 m"\nbars = [{ from = [0, 0], to = [0, 0], area = "3 mm^2" }]',
            "ends where it starts",
        ),
        ('at = "5 m"\nbars = "cross"', "bars is a list"),
        ('at = "5 m"\nthicknes = 3', "thicknes"),
    ],
)
def test_mistakes_name_the_table_and_the_key(part: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read(part)
    assert says in str(caught.value)
    assert "diaphragm" in str(caught.value)


def test_a_spacing_longer_than_the_member_is_refused() -> None:
    with pytest.raises(InputError, match="every is longer than the stretch it is to cover"):
        read('every = "25 m"')
