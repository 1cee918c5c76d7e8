"""Names are text in figures: dollars, any script, any length."""

from __future__ import annotations

import warnings
from pathlib import Path

import pytest
from matplotlib.figure import Figure
from soapfilm.cli.main import main
from soapfilm.report.drawing.fonts import OWN, FontWarning, font_with, use_fonts_that_have, within

BOX = 'name = "{}"\nunit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 60\nYDim = 40\n'


@pytest.mark.parametrize("ending", ["svg", "png"])
@pytest.mark.parametrize("name", ["cost $5$ a $\\\\frac{", "$", "a_b^c $x$"])
def test_a_dollar_starts_no_mathematics(
    tmp_path: Path, ending: str, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "box.toml"
    file.write_text(BOX.format(name))
    figure = tmp_path / f"box.{ending}"
    assert main(["section", str(file), "--figure", str(figure)]) == 0, capsys.readouterr().err
    if ending == "svg":
        assert "$" in figure.read_text()


def test_a_script_without_a_font_is_said() -> None:
    figure = Figure()
    figure.text(0, 0, "\U00013000 bridge")  # an Egyptian hieroglyph
    if font_with("\U00013000") is not None:
        pytest.skip("this machine has a font of hieroglyphs")
    with pytest.warns(FontWarning, match="no font on this machine has"):
        use_fonts_that_have(figure)


def test_a_font_that_has_the_characters_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    figure = Figure()
    text = figure.text(0, 0, "\u6865")
    where = "soapfilm.report.drawing.fonts.font_with"
    monkeypatch.setattr(where, lambda characters: "DejaVu Serif")
    use_fonts_that_have(figure)
    assert text.get_fontfamily() == [OWN, "DejaVu Serif"]


def test_scripts_of_several_fonts_in_one_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """One font that had all of them was asked for, and boxes were drawn where two would have."""
    owners = {"\u6865": "DejaVu Serif", "\U0001f309": "DejaVu Sans Mono"}
    monkeypatch.setattr("soapfilm.report.drawing.fonts.font_with", owners.get)
    figure = Figure()
    text = figure.text(0, 0, "\u6865 \U0001f309 \U00013000")
    with pytest.warns(FontWarning, match="no font on this machine has '\U00013000',"):
        use_fonts_that_have(figure)
    assert text.get_fontfamily() == [OWN, "DejaVu Serif", "DejaVu Sans Mono"]


def test_arabic_is_in_the_figures_own_font() -> None:
    figure = Figure()
    figure.text(0, 0, "\u062c\u0633\u0631")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        use_fonts_that_have(figure)


def test_greek_and_cyrillic_need_no_other_font() -> None:
    figure = Figure()
    text = figure.text(0, 0, "\u03a9 \u0411\u0430\u043b\u043a\u0430 \u00e9")
    before = text.get_fontfamily()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        use_fonts_that_have(figure)
    assert text.get_fontfamily() == before


def test_long_titles_wrap_and_short_ones_stay() -> None:
    assert within("landing deck", 5.0, 11) == ("landing deck", 11)
    text, size = within("a name of many words " * 5, 5.0, 11)
    assert text.count("\n") == 1
    assert size < 11
