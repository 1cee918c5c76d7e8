"""Reduced sections kept on disk: the same numbers again, and no harm from damaged files."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section.deforming import recent as recent_module
from soapfilm.solver.section.deforming.kept import KeptSections, key_of
from soapfilm.solver.section.deforming.recent import keep_on_disk, recent
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section
from soapfilm.solver.section.deforming.response import Acting

STEEL = Material("steel", 210_000.0, 0.3)
BAR = Section(
    (Region(Contour([(0, 0), (20, 0), (20, 50), (0, 50)]), (), STEEL),), unit="mm", name="bar"
)


@pytest.fixture(scope="module")
def bar() -> ReducedSection:
    return reduced_section(BAR, modes=2)


def test_what_is_read_is_what_was_kept(tmp_path: Path, bar: ReducedSection) -> None:
    store = KeptSections(tmp_path)
    store.put("one", (bar, bar))
    first, second = store.get("one") or ()
    assert first is second
    for name in ("C", "L", "M", "mass", "rigid", "planar", "rates", "shapes", "mode"):
        assert np.array_equal(getattr(first, name), getattr(bar, name)), name
    assert (first.names, first.kinds, first.complete) == (bar.names, bar.kinds, bar.complete)
    points = [(5.0, 10.0), (20.0, 50.0)]
    for one, other in zip(first.stress_rows(points), bar.stress_rows(points), strict=True):
        assert np.array_equal(one, other)
    assert np.array_equal(first.curved(500.0).C, bar.curved(500.0).C)


@pytest.mark.parametrize("harm", ["cut short", "one byte", "something else"])
def test_a_damaged_file_is_taken_away_and_said(
    tmp_path: Path, bar: ReducedSection, capsys: pytest.CaptureFixture[str], harm: str
) -> None:
    store = KeptSections(tmp_path)
    store.put("one", (bar,))
    (file,) = tmp_path.iterdir()
    data = bytearray(file.read_bytes())
    if harm == "cut short":
        data = data[: len(data) // 2]
    elif harm == "one byte":
        data[len(data) // 2] ^= 0xFF
    else:
        data = bytearray(b"not a section")
    file.write_bytes(data)
    assert store.get("one") is None
    assert "damaged" in capsys.readouterr().err
    assert not file.exists()
    store.put("one", (bar,))
    assert store.get("one") is not None


def test_the_folder_stays_within_its_bound(tmp_path: Path, bar: ReducedSection) -> None:
    KeptSections(tmp_path).put("size", (bar,))
    (file,) = tmp_path.iterdir()
    store = KeptSections(tmp_path, limit=3 * file.stat().st_size)
    for name in "abcdefg":
        store.put(name, (bar,))
    assert sum(f.stat().st_size for f in tmp_path.iterdir()) <= store.limit
    assert store.get("g") is not None


def test_a_folder_that_cannot_be_used_is_no_store(tmp_path: Path, bar: ReducedSection) -> None:
    (tmp_path / "file").write_text("")
    store = KeptSections(tmp_path / "file" / "folder")
    store.put("one", (bar,))
    assert store.get("one") is None


def test_the_same_question_is_solved_once_even_by_another_process(
    tmp_path: Path, bar: ReducedSection, monkeypatch: pytest.MonkeyPatch
) -> None:

    solved = []

    def solve() -> tuple[ReducedSection, ...]:
        solved.append(1)
        return (bar,)

    keep_on_disk(tmp_path)
    try:
        for _ in range(2):
            # Another process begins with nothing in memory.
            monkeypatch.setattr(recent_module, "_KNOWN", recent_module.Lately(1))
            (found,) = recent("test", [BAR], (2,), solve)
        assert np.array_equal(found.M, bar.M)
        recent("test", [BAR], (3,), solve)
    finally:
        keep_on_disk(None)
    assert len(solved) == 2


def test_a_key_changes_with_the_question() -> None:
    assert key_of((1, 2.0)) == key_of((1, 2.0)) != key_of((1, 2.0 + 1e-15))


def test_slow_modes_stay_while_what_acts_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same digits as of a section asked about for the first time, and no modes solved."""
    from soapfilm.solver.section.deforming import reduction

    def known() -> None:
        monkeypatch.setattr(reduction, "_SLOW", recent_module.Lately(3))
        monkeypatch.setattr(recent_module, "_KNOWN", recent_module.Lately(3))

    def asked(*acting: Acting) -> list[ReducedSection]:
        return [reduced_section(BAR, modes=2, acting=one) for one in acting]

    held, curved = Acting(held=True), Acting(curved=True, held=True)
    known()
    _, after = asked(held, curved)
    known()
    (alone,) = asked(curved)
    assert after.size == alone.size > reduced_section(BAR, modes=2).size
    for name in ("C", "L", "M", "rates", "shapes"):
        assert np.array_equal(getattr(after, name), getattr(alone, name)), name

    def refused(*_: object) -> None:
        raise AssertionError("slow modes solved again")

    monkeypatch.setattr(reduction, "slow_modes", refused)
    asked(held)
    with pytest.raises(AssertionError, match="again"):
        reduced_section(BAR, modes=3, acting=held)
