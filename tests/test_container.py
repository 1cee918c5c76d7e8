"""The container: its recipe installs what the mesh generator needs, and runs where docker is."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from soapfilm.cli.doctor import GMSH_LIBRARIES

ROOT = Path(__file__).parents[1]


def test_the_recipe_has_the_libraries_that_the_doctor_names() -> None:
    recipe = (ROOT / "Dockerfile").read_text()
    assert set(GMSH_LIBRARIES) == set(re.findall(r"\blib[\w.-]+\b(?=[ \\\n])", recipe)) - {"lists"}
    assert "USER engineer" in recipe
    setup = (ROOT / ".ci/setup").read_text()
    assert all(library in setup for library in GMSH_LIBRARIES)


def test_the_command_runs_in_it() -> None:
    recipe = (ROOT / "Dockerfile").read_text()
    image = recipe[recipe.index("FROM ") + 5 :].split()[0]
    if shutil.which("docker") is None or not _succeeds("docker", "pull", "-q", image):
        pytest.skip(f"no docker that can fetch {image} on this machine")
    assert _succeeds("docker", "build", "-q", "-t", "soapfilm-test", str(ROOT))
    assert _succeeds("docker", "run", "--rm", "soapfilm-test", "doctor")


def _succeeds(*words: str) -> bool:
    return subprocess.run(words, capture_output=True, check=False).returncode == 0
