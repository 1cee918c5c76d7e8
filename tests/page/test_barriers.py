"""Pages of every kind are free of barriers, fit narrow screens and complain of nothing."""

from __future__ import annotations

from contextlib import chdir
from pathlib import Path

import pytest
from soapfilm.cli.main import main

from .conftest import EXAMPLES
from .visit import Visit

STUDY = """
name = "walls of the tube"
section = "{tube}"
[[parameter]]
name = "wall"
sets = "shape.1.WallThickness"
values = [5, 6.3, 8]
[[parameter]]
name = "breadth"
sets = "shape.1.XDim"
values = [120, 180]
"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """One page of a comparison, a study, a member and a buckling, as the command writes them."""
    folder = tmp_path_factory.mktemp("kinds")
    file = folder / "walls.toml"
    file.write_text(STUDY.format(tube=(EXAMPLES / "cladding-tube.toml").as_posix()), "utf-8")
    out = {kind: folder / f"{kind}.html" for kind in ("compare", "study", "member", "buckle")}
    rolled = ["--compare", "W10X49", "-o", str(out["compare"])]
    store = ["--workers", "1", "--no-cache"]
    for words in (
        ["report", str(EXAMPLES / "cladding-tube.toml"), *rolled],
        ["sweep", str(file), *store],
        ["report", str(file), "-o", str(out["study"])],
        ["report", str(EXAMPLES / "tube-with-cladding.toml"), "-o", str(out["member"])],
        [
            "buckle",
            str(EXAMPLES / "cladding-tube.toml"),
            "N = -1 kN",
            "--shortest",
            "60 mm",
            "--longest",
            "600 mm",
            "--effective",
            "--page",
            str(out["buckle"]),
        ],
    ):
        with chdir(folder):
            assert main(words) == 0
    return out


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("kind", ["compare", "study", "member", "buckle"])
def test_axe_finds_no_barrier(visit: Visit, pages: dict[str, Path], kind: str, theme: str) -> None:
    visit.theme(theme)
    visit.load(pages[kind])
    assert visit.barriers() == []
    assert visit.console() == []


@pytest.mark.parametrize("kind", ["compare", "study", "member", "buckle"])
def test_it_fits_a_narrow_screen(visit: Visit, pages: dict[str, Path], kind: str) -> None:
    visit.screen(320, 800)
    visit.load(pages[kind])
    assert visit.run("return document.documentElement.scrollWidth") <= 320
    assert visit.barriers() == []
