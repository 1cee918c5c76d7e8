"""Published and derived values of sections, each with its source and how it is known."""

from __future__ import annotations

import json
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def checks() -> dict[str, dict]:
    """Checks by id: quantity, geometry, value, unit, tolerance, source, provenance, note."""
    path = Path(__file__).parent.parent / "data" / "section_checks.json"
    return {check["id"]: check for check in json.loads(path.read_text())}
