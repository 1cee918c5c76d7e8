"""The cache of solved sections: what its keys depend on, its bound, several processes, and that
nothing in it can do harm."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import build_profile
from soapfilm.geometry.section import Section, Slit
from soapfilm.solver.study.run import content, solving
from soapfilm.solver.study.run.cache import RecordCache, default_folder
from soapfilm.solver.study.run.content import section_key
from soapfilm.solver.study.run.properties import Properties
from soapfilm.solver.study.run.solving import solved_properties

ANGLE = build_profile(
    "L", {"Depth": 80, "Width": 60, "Thickness": 8, "FilletRadius": 6}, "mm"
).section(material=Material("steel", 210e3, 0.3, density=7.85e-6), name="angle", unit="mm")


def with_material(section: Section, material: Material) -> Section:
    return replace(section, regions=tuple(replace(r, material=material) for r in section.regions))


@pytest.mark.parametrize(
    "change",
    [
        lambda s: s.placed(Placement.move(1e-9, 0)),
        lambda s: with_material(s, Material("steel", 210e3, 0.2)),
        lambda s: with_material(s, Material("other", 210e3, 0.3, density=7.85e-6)),
        lambda s: replace(s, name="another"),
        lambda s: replace(s, unit="in"),
        lambda s: replace(s, slits=(Slit(((0.0, 0.0), (1.0, 1.0))),)),
    ],
)
def test_a_key_depends_on_everything_a_result_does(change: Callable[[Section], Section]) -> None:
    assert section_key(ANGLE, 1e-4) == section_key(ANGLE, 1e-4)
    assert section_key(change(ANGLE), 1e-4) != section_key(ANGLE, 1e-4)


def test_a_key_depends_on_accuracy_and_code(monkeypatch: pytest.MonkeyPatch) -> None:
    key = section_key(ANGLE, 1e-4)
    assert section_key(ANGLE, 1e-5) != key
    monkeypatch.setattr(content, "code_version", lambda: "another")
    assert section_key(ANGLE, 1e-4) != key


def test_the_code_version_sees_a_changed_module(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = tmp_path / "solver"
    room.mkdir()
    (room / "a.py").write_text("x = 1\n")
    monkeypatch.setattr(content, "_folder", lambda name: room)
    before = content.code_version.__wrapped__()
    (room / "a.py").write_text("x = 2\n")
    assert content.code_version.__wrapped__() != before


def test_a_section_is_solved_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = RecordCache(tmp_path)
    first = solved_properties(ANGLE, 1e-4, cache)

    def never(*_: object) -> Properties:
        raise AssertionError("solved again")

    monkeypatch.setattr(solving, "_solved", never)
    assert solved_properties(ANGLE, 1e-4, cache) == first
    assert solved_properties(ANGLE, 1e-4, RecordCache(tmp_path)) == first  # another process's view
    with pytest.raises(AssertionError, match="solved again"):
        solved_properties(ANGLE, 1e-4, None)


def test_what_is_not_a_record_of_ours_is_solved_anew(tmp_path: Path) -> None:
    cache = RecordCache(tmp_path)
    right = solved_properties(ANGLE, 1e-4, cache)
    key = section_key(ANGLE, 1e-4)
    wrong = [
        {"name": "x"},
        right.record() | {"torsion_constant": "1"},
        right.record() | {"area": True},
        right.record() | {"odd": 1},
    ]
    for record in wrong:
        cache.put(key, record)
        assert solved_properties(ANGLE, 1e-4, cache) == right
        assert cache.get(key) == right.record()
    # Pickled bytes that somebody slipped in are text to this reader, and no JSON.
    base = sqlite3.connect(tmp_path / "sections.sqlite")
    base.execute("UPDATE record SET text = ?", (b"\x80\x04cos\nsystem\n.",))
    base.commit()
    assert cache.get(key) is None
    base.close()


def test_the_bound_is_kept_and_the_oldest_go_first(tmp_path: Path) -> None:
    record = {"text": "x" * 1000}
    cache = RecordCache(tmp_path, limit=20_000)
    for k in range(60):
        cache.put(f"{k:03d}", record)
        assert cache.size()[1] <= 20_000
    assert cache.get("059") == record
    assert cache.get("000") is None
    cache.put("huge", {"text": "x" * 30_000})
    assert cache.get("huge") is None


def test_a_cache_that_cannot_be_used_is_none(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    (tmp_path / "sections.sqlite").write_bytes(b"not a database " * 100)
    for folder in (None, tmp_path / "file" / "below"):
        cache = RecordCache(folder)
        cache.put("a", {"b": 1})
        assert cache.get("a") is None


def test_a_damaged_cache_is_put_aside_and_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "sections.sqlite").write_bytes(b"not a database " * 100)
    cache = RecordCache(tmp_path)
    assert cache.get("a") is None
    cache.put("a", {"b": 1})
    assert cache.get("a") == {"b": 1}
    assert capsys.readouterr().err.count("was damaged") == 1
    assert (tmp_path / "sections.damaged").read_bytes().startswith(b"not a database")


def test_a_locked_cache_is_waited_for_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("soapfilm.solver.study.run.cache._WAIT", 0.01)
    RecordCache(tmp_path).put("a", {"b": 1})
    other = sqlite3.connect(tmp_path / "sections.sqlite", isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    cache = RecordCache(tmp_path)
    for key in ("c", "d"):
        cache.put(key, {"b": 1})
    assert capsys.readouterr().err.count("is locked by another process") == 1
    other.close()
    assert cache.get("a") is None  # done without from then on


def test_a_record_outside_its_own_bounds_is_solved_anew(tmp_path: Path) -> None:
    cache = RecordCache(tmp_path)
    right = solved_properties(ANGLE, 1e-4, cache)
    key = section_key(ANGLE, 1e-4)
    for change in ({"torsion_constant": 2 * right.torsion_constant}, {"area": -1.0}):
        cache.put(key, right.record() | change)
        assert solved_properties(ANGLE, 1e-4, cache) == right
    base = sqlite3.connect(tmp_path / "sections.sqlite")
    text = json.dumps(right.record() | {"area": float("nan")})
    base.execute("UPDATE record SET text = ?", (text,))
    base.commit()
    base.close()
    assert cache.get(key) is None


def test_the_switch_and_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOAPFILM_CACHE", "OFF")
    assert default_folder() is None
    monkeypatch.setenv("SOAPFILM_CACHE", str(tmp_path))
    assert default_folder() == tmp_path
    monkeypatch.delenv("SOAPFILM_CACHE")
    found = default_folder()
    assert found is not None
    assert "soapfilm" in str(found)


WRITER = """
import sys
from soapfilm.solver.study.run.cache import RecordCache

cache = RecordCache(sys.argv[1], limit=60_000)
for k in range(int(sys.argv[2]), int(sys.argv[2]) + 60):
    record = {"k": k, "text": "x" * 500}
    cache.put(str(k), record)
    assert cache.get(str(k)) in (record, None)
"""


def test_several_processes_share_it(tmp_path: Path) -> None:
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), str(100 * n)])
        for n in range(3)
    ]
    assert [writer.wait(60) for writer in writers] == [0, 0, 0]
    cache = RecordCache(tmp_path, limit=60_000)
    count, size = cache.size()
    assert 0 < size <= 60_000
    base = sqlite3.connect(tmp_path / "sections.sqlite")
    rows = base.execute("SELECT key, text FROM record").fetchall()
    base.close()
    assert len(rows) == count
    assert all(json.loads(text)["k"] == int(key) for key, text in rows)
