"""A cache of its own for every test, and files that several tests change."""

from __future__ import annotations

from pathlib import Path

import pytest

from .files import BEAM, TUBE


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv("SOAPFILM_CACHE", str(folder))
    return folder


@pytest.fixture
def tube(tmp_path: Path) -> Path:
    file = tmp_path / "tube.toml"
    file.write_text(TUBE)
    return file


@pytest.fixture
def beam(tmp_path: Path) -> Path:
    file = tmp_path / "beam.toml"
    file.write_text(BEAM)
    return file
