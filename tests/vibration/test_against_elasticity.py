"""Frequencies of members whose sections deform against 3D elasticity (own tensor elements of
`benchmarks/elasticity/modes.py`, kept in `frequencies.json`), and of boxes with diaphragms against
the classical theory."""

from __future__ import annotations

import pytest

from benchmarks.vibrating_members import BOX, BOXES, kept, solved, vibration


@pytest.mark.parametrize("name", BOXES)
def test_curved_box(name: str) -> None:
    """Five modes within 0.5 %: bending, torsion with distortion, distortion alone."""
    case, found = kept()[name], vibration(name)
    assert found.frequencies[0] < 0.1
    assert found.frequencies[1:] == pytest.approx(case["frequencies"], rel=0.005)
    for change, value in zip(case["change"], case["frequencies"], strict=True):
        assert change < 0.0055 * value
    assert any("distortional" in name for name in found.names)


def test_a_taper() -> None:
    """A cantilever I from 500 to 200 deep: bending about both axes and torsion, whose 3D values
    still fall by 0.03 to 0.3 % in the last order."""
    found = vibration("tapered-i")
    assert not found.alone
    assert found.frequencies == pytest.approx(kept()["tapered-i"]["frequencies"], rel=5e-3)
    assert found.names[:3] == ("lateral", "torsional", "vertical")


def test_two_steps() -> None:
    """Flanges of 8 mm, of 16 in the middle half: bending about both axes and torsion; the first
    mode slides on a soft spring."""
    found = vibration("stepped-i")
    assert not found.alone
    assert found.frequencies[1:] == pytest.approx(kept()["stepped-i"]["frequencies"], rel=5e-3)


def test_diaphragms_hold_the_shape_and_weigh() -> None:
    """Rigid diaphragms bring the frequencies of a box near the classical ones, their mass lowers
    them."""
    text = BOX.format(width=2000, wall=20, length=20000, radius=50000, z="held")
    bare = solved(text, 1)
    light = solved(text + '[[diaphragm]]\nevery = "2 m"\nfrom = "2 m"\nto = "18 m"\n', 1)
    heavy = solved(
        text + '[[diaphragm]]\nevery = "2 m"\nfrom = "2 m"\nto = "18 m"\nmass = "400 kg"\n', 1
    )
    classical = solved(text, 1, keep_shape=True)
    assert bare.frequencies[0] < 0.9 * classical.frequencies[0]
    assert light.frequencies[0] == pytest.approx(classical.frequencies[0], rel=0.04)
    assert heavy.frequencies[0] < 0.97 * light.frequencies[0]
    assert heavy.participation.mass == pytest.approx(bare.participation.mass + 9 * 400, rel=1e-6)
