"""Members that decks, springs, diaphragms and forks brace between their ends, beside 3D elasticity
(`benchmarks/elasticity/braced_cases.py`; orders differ by 0.6 % at most)."""

from __future__ import annotations

import pytest

from benchmarks.critical_members import BRACED, our_factor, reference

#: The plate's own 1 mm, which shortens the bays, and its bending, which holds the walls against
#: turning, are left out.
TOLERANCE = {"tube-diaphragms": 0.025}
THICK = "tube-thick-diaphragms"


@pytest.mark.parametrize("name", [name for name in BRACED if name != THICK])
def test_braced_members_as_in_elasticity(name: str) -> None:
    """With the deck spread over the whole section, hogging was 15 % on the unsafe side: the web
    bends between the flange that the deck holds and the other."""
    assert our_factor(name) == pytest.approx(reference(name), rel=TOLERANCE.get(name, 1e-2))


def test_thick_diaphragms_clamp_walls_in_elasticity() -> None:
    """Plates of twice the walls' thickness: k = 9.5 there beside 6.0 here, on the safe side."""
    assert 0.6 < our_factor(THICK) / reference(THICK) < 1.0
