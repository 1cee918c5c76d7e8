"""Pages as text: escaped, under a policy that names every script, bounded in size, complete."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from soapfilm.report.page import printing
from soapfilm.report.page.bundle import bundled
from soapfilm.report.page.ears import ears
from soapfilm.report.page.layout import embedded, page
from soapfilm.report.page.origin import Origin
from soapfilm.report.page.packing import field, floats, indices, shared_scale
from soapfilm.report.page.section_report import section_report
from soapfilm.report.page.typesetting import figure, running, symbol
from soapfilm.solver.section.stress.load_cases import StressResult

from .conftest import HOSTILE

ASSETS = Path(__file__).parent.parent.parent / "report" / "page" / "assets"


class Reader(HTMLParser):
    """What a browser's parser makes of a page: elements with their attributes, and texts."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, list[str]] = {}
        self._open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            while self._open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if self._open:
            self.texts.setdefault(self._open[-1], []).append(data)


@pytest.fixture(scope="module")
def deck_text(deck_page: Path) -> str:
    return deck_page.read_text("utf-8")


@pytest.fixture(scope="module")
def bracket_text(bracket_page: Path) -> str:
    return bracket_page.read_text("utf-8")


# -- safe ------------------------------------------------------------------------------------------
def test_hostile_text_makes_no_element(bracket_text: str) -> None:
    read = Reader(bracket_text)
    assert sum(tag == "script" for tag, _ in read.elements) == 2  # data, and the page's own
    assert not any(attrs.get("src") == "x" for _, attrs in read.elements)
    assert HOSTILE in "".join(read.texts["h1"])
    assert not any(name.startswith("on") for _, attrs in read.elements for name in attrs)


def test_the_policy_names_the_page_s_own_script_and_style_alone(deck_text: str) -> None:
    read = Reader(deck_text)
    policy = next(a["content"] for _, a in read.elements if "http-equiv" in a)
    assert policy is not None
    rules = {p.split()[0]: p.split()[1:] for p in policy.split("; ")}
    assert rules["default-src"] == ["'none'"]
    script, style = (
        re.findall(r"<script>(.*?)</script>", deck_text, re.S),
        re.findall(r"<style>(.*?)</style>", deck_text, re.S),
    )
    assert rules["script-src"] == [_source(text) for text in script]
    assert rules["style-src"] == [_source(text) for text in style]
    assert "unsafe" not in policy
    # Style attributes would need a policy that allows them.
    assert not any("style" in attrs for _, attrs in read.elements)


def test_nothing_is_fetched(deck_text: str) -> None:
    read = Reader(deck_text)
    for tag, attrs in read.elements:
        for name in ("src", "href", "action", "data", "poster"):
            value = attrs.get(name)
            assert value is None or value.startswith(("data:image/", "#")), (tag, value)
    assert "@import" not in deck_text
    assert "url(" not in "".join((ASSETS / n).read_text() for n in ("page.css", "live.css"))


def test_data_cannot_end_its_element() -> None:
    text = embedded({"a": "</script><!--", "b": "\u2028"})
    assert "<" not in text
    assert json.loads(text) == {"a": "</script><!--", "b": "\u2028"}


# -- bounded and complete ----------------------------------------------------------------------
def test_the_deck_stays_below_three_megabytes(deck_text: str) -> None:
    assert 0.3e6 < len(deck_text.encode()) < 3e6


def test_every_part_is_there(deck_text: str, deck: StressResult) -> None:
    read = Reader(deck_text)
    names = {a.get("id") for tag, a in read.elements if tag == "section"}
    assert names >= {
        "job", "live", "film", "figures", "inputs", "stresses", "properties", "guarantee",
        "checks", "equations", "cautions", "reproduction",
    }  # fmt: skip
    for words in ("guaranteed", "Prager", "equilibrium", "licensed engineer"):
        assert words in deck_text
    links = {a["href"] for tag, a in read.elements if tag == "a"}
    ids = {f"#{a['id']}" for _, a in read.elements if "id" in a}
    assert links <= ids


def test_a_section_alone_reports_without_load_cases(bracket: StressResult) -> None:
    origin = Origin("soapfilm report", [("bracket.toml", b"unit = 'mm'  # <raw>")], "2020-01-02")
    document = section_report(bracket.result, origin)
    text = page(document)
    assert document.live["sections"][0]["cases"] == []
    assert "unbounded" in text
    assert "unit = &#39;mm&#39;  # &lt;raw&gt;" in text
    assert hashlib.sha256(b"unit = 'mm'  # <raw>").hexdigest() in text


# -- pieces ------------------------------------------------------------------------------------
def test_packed_arrays_read_back() -> None:
    values = np.array([1.5, -3.0, 0.25])
    assert np.frombuffer(base64.b64decode(floats(values)["data"]), "<f4") == pytest.approx(values)
    packed = field(values)
    back = np.frombuffer(base64.b64decode(packed["data"]), "<i2") * packed["scale"]
    assert back == pytest.approx(values, abs=0.5 * 3.0 / 32767)
    assert {row["scale"] for row in shared_scale(values, 2 * values)} == {6.0 / 32767}
    assert indices([0, 65535])["kind"] == "uint16"
    assert indices([0, 65536])["kind"] == "uint32"


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (4, 0), (4, 3), (0, 3)],
        [(0, 3), (4, 3), (4, 0), (0, 0)],
        [(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)],
        [(0, 0), (5, 0), (5, 5), (3, 5), (3, 1), (2, 1), (2, 5), (0, 5)],
    ],
)
def test_ears_cover_the_polygon_once(points: list[tuple[float, float]]) -> None:
    corners = np.array(points, dtype=float)
    triangles = corners[ears(corners)]
    (a, b), (c, d) = (triangles[:, 1] - triangles[:, 0]).T, (triangles[:, 2] - triangles[:, 0]).T
    pieces = (a * d - b * c) / 2
    x, y = corners.T
    area = float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) / 2)
    assert len(triangles) == len(points) - 2
    assert np.all(pieces > 0)
    assert pieces.sum() == pytest.approx(abs(area))


def test_modules_become_one_script_in_their_order() -> None:
    texts = {
        "a": 'import { two } from "./b.js";\nexport const four = two * 2;\n',
        "b": "export const two = 2;\nconst own = 1;\n",
    }
    script = bundled("a", texts.__getitem__)
    assert script.index("module_b =") < script.index("module_a =")
    assert "const { two } = module_b;" in script
    assert "export" not in script
    assert "import" not in script


@pytest.mark.parametrize(
    "text", ['import x from "./b.js";\n', "export default 1;\n", 'import "y";\n']
)
def test_other_module_forms_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="form that pages do not understand"):
        bundled("a", lambda _: text)


def test_modules_in_a_circle_are_refused() -> None:
    texts = {name: f'import {{ x }} from "./{other}.js";\n' for name, other in ("ab", "ba")}
    with pytest.raises(ValueError, match="a -> b -> a"):
        bundled("a", texts.__getitem__)


def test_symbols_and_numbers() -> None:
    assert str(symbol("C_w = I_w")) == "<i>C</i><sub>w</sub> = <i>I</i><sub>w</sub>"
    assert str(symbol("<x>_1")) == "&lt;<i>x</i>&gt;_1"
    assert figure("-1.2e-06 to 3") == "−1.2 × 10⁻⁶ to 3"
    assert figure("S-355 and 2019-2") == "S-355 and 2019-2"
    assert str(running("<i>W_T</i>")) == "&lt;i&gt;<i>W</i><sub>T</sub>&lt;/i&gt;"


# -- printing ------------------------------------------------------------------------------------
def test_without_a_browser_the_message_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from soapfilm.geometry.errors import InputError

    monkeypatch.setattr(printing.shutil, "which", lambda _: None)
    monkeypatch.setattr(printing, "_ELSEWHERE", ())
    with pytest.raises(InputError, match="install Chromium"):
        printing.browser()


def test_a_browser_that_fails_is_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    broken = tmp_path / "chromium"
    broken.write_text("#!/bin/sh\necho no display >&2\nexit 3\n")
    broken.chmod(0o755)
    monkeypatch.setattr(printing, "browser", lambda: str(broken))
    with pytest.raises(printing.PrintError, match="did not print: no display"):
        printing.print_pdf("<p>x", tmp_path / "x.pdf")
    assert not (tmp_path / "x.pdf").exists()


def test_a_browser_that_does_not_end_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    slow = tmp_path / "chromium"
    slow.write_text("#!/bin/sh\nexec sleep 60\n")
    slow.chmod(0o755)
    monkeypatch.setattr(printing, "browser", lambda: str(slow))
    monkeypatch.setattr(printing, "_SECONDS", 0.5)
    (tmp_path / "x.pdf").write_text("kept")
    with pytest.raises(printing.PrintError, match=r"did not print within 0\.5 s"):
        printing.print_pdf("<p>x", tmp_path / "x.pdf")
    assert (tmp_path / "x.pdf").read_text() == "kept"


def _source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
