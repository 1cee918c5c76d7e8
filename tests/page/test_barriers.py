"""Pages of every kind are free of barriers, fit narrow screens and complain of nothing."""

from __future__ import annotations

from contextlib import chdir
from pathlib import Path

import pytest
from matplotlib.colors import to_hex
from soapfilm.cli.main import main
from soapfilm.report.drawing.palette import stress_colours

from .conftest import EXAMPLES
from .test_live_shape import luminance
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


#: Width of a sheet of A4 between its margins, in CSS pixels.
SHEET = round((210 - 2 * 16) / 25.4 * 96)
#: Sizes in points of all texts that print: of the page, and of figures by how they are scaled.
SIZES = """
const out = [];
const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walk.nextNode()) {
  const node = walk.currentNode, box = node.parentElement;
  if (!node.textContent.trim() || !box.checkVisibility({visibilityProperty: true})) continue;
  if (box.closest("script, style, template")) continue;
  const drawn = box.getScreenCTM && box.closest("svg");
  const scale = drawn ? Math.abs(box.getScreenCTM().d) : 1;
  const size = parseFloat(getComputedStyle(box).fontSize) * scale * 0.75;
  out.push([size, node.textContent.trim().slice(0, 40)]);
}
for (const img of document.querySelectorAll("figure img[src*='svg']")) {
  if (!img.checkVisibility()) continue;
  const text = atob(img.src.slice(img.src.indexOf(",") + 1));
  const box = img.getBoundingClientRect();
  const scale = Math.min(box.width / img.naturalWidth, box.height / img.naturalHeight);
  // an index is seven tenths of its letter
  const found = [...text.matchAll(/font(?:-size)?:[^;"']*?([0-9.]+)px/g)];
  const spans = found.map(match => parseFloat(match[1]));
  const index = size => spans.some(s => Math.abs(0.7 * s - size) < 0.01);
  for (const size of spans)
    out.push([size * scale / (index(size) ? 0.7 : 1), "figure: " + img.alt.slice(0, 40)]);
}
return out;
"""


@pytest.mark.parametrize("kind", ["compare", "study", "member", "buckle"])
def test_nothing_prints_smaller_than_six_points(
    visit: Visit, pages: dict[str, Path], kind: str
) -> None:
    visit.screen(SHEET, 1000)
    visit.load(pages[kind])
    visit.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        sizes = visit.run(SIZES)
    finally:
        visit.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert len(sizes) > 50
    assert any(text.startswith("figure") for _, text in sizes)
    assert [(size, text) for size, text in sizes if size < 6] == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_high_stresses_stand_out_from_their_ground(
    visit: Visit, pages: dict[str, Path], theme: str
) -> None:
    """WCAG 2.2, 1.4.11: a contrast of 3; in the dark scheme it was 1.9, dark on dark."""
    visit.theme(theme)
    visit.load(pages["member"])
    ground = visit.run(
        "return getComputedStyle(document.documentElement).getPropertyValue('--plot')"
    )
    colours = stress_colours()
    highest = [to_hex(colours(share)) for share in (0.9, 1.0, 1.1)]
    for colour in highest:
        low, high = sorted((luminance(rgb(colour)), luminance(rgb(ground.strip()))))
        assert (high + 0.05) / (low + 0.05) >= 3


def rgb(text: str) -> str:
    """A colour of six hexadecimal digits as a style sheet's computed one."""
    return "rgb({}, {}, {})".format(*(int(text[k : k + 2], 16) for k in (1, 3, 5)))
