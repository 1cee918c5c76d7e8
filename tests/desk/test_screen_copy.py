"""What the page has on its screen as a picture: marks stand where they are, bad ones are told."""

from __future__ import annotations

import base64
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from soapfilm.desk.exporting import PICTURES, tell_picture
from soapfilm.desk.screen_copy import screen_axes
from soapfilm.geometry.errors import InputError

RED, GREEN, BLUE = [255, 0, 0, 1], [0, 128, 0, 1], [0, 0, 255, 1]
SQUARE = ["M", 20, 10, "L", 60, 10, "L", 60, 40, "L", 20, 40, "Z"]


def address(pixels: NDArray[np.uint8]) -> str:
    """A PNG as a page has it."""
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG")
    return "data:image/png;base64," + base64.b64encode(file.getvalue()).decode()


def drawn(*marks: dict[str, Any], width: int = 200, height: int = 100) -> NDArray[np.uint8]:
    """The picture, two of its pixels a pixel of the page."""
    copy = {"width": width, "height": height, "marks": list(marks)}
    told: list[dict[str, Any]] = []

    class Errand:
        def tell(self, kind: str, **content: Any) -> None:
            told.append(content)

    job = {"what": "png", "copy": json.dumps(copy), "name": "sheet", "called": "sheet, push"}
    tell_picture(Errand(), job)  # type: ignore[arg-type]
    assert told[0]["name"] == "sheet, push.png"
    with Image.open(io.BytesIO(base64.b64decode(told[0]["data"]))) as image:
        return np.asarray(image.convert("RGB"))


def box_of(picture: NDArray[np.uint8], colour: list[int]) -> list[float]:
    """Left, top, right, bottom of all pixels of a colour, in pixels of the page."""
    rows, columns = np.nonzero((np.abs(picture.astype(int) - colour[:3]) < 40).all(axis=2))
    return [columns.min() / 2, rows.min() / 2, (columns.max() + 1) / 2, (rows.max() + 1) / 2]


def test_marks_stand_where_they_are_on_the_screen() -> None:
    frame = [0, 0, 200, 100]
    pixels = np.zeros((4, 8, 4), np.uint8)
    pixels[..., 2] = pixels[..., 3] = 255  # blue
    picture = drawn(
        {"path": SQUARE, "fill": RED, "alpha": 1, "frame": frame},
        {"path": ["M", 0, 60, "L", 200, 60], "stroke": GREEN, "width": 4, "dash": [], "alpha": 1,
         "frame": [50, 0, 100, 100]},
        {"picture": address(pixels), "box": [100, 70, 40, 20], "alpha": 1, "frame": frame},
    )  # fmt: skip
    assert picture.shape == (200, 400, 3)
    assert box_of(picture, RED) == pytest.approx([20, 10, 60, 40], abs=0.5)
    assert box_of(picture, GREEN) == pytest.approx([50, 58, 150, 62], abs=0.5)
    assert box_of(picture, BLUE) == pytest.approx([100, 70, 140, 90], abs=0.5)


def test_words_are_no_wider_than_on_the_screen() -> None:
    words = {"words": "movement × 120 $a$", "at": [30, 60], "size": 20, "wide": 90, "fill": RED,
             "alpha": 1, "frame": [0, 0, 200, 100], "bold": False}  # fmt: skip
    left, top, right, bottom = box_of(drawn(words), RED)
    assert 29 <= left <= 34
    assert 110 <= right <= 121
    assert 40 <= top < bottom <= 66


def test_a_region_cuts_what_is_drawn() -> None:
    mark = {"path": ["M", 0, 25, "L", 200, 25], "stroke": RED, "width": 6, "dash": [], "alpha": 1,
            "region": SQUARE, "frame": [0, 0, 200, 100]}  # fmt: skip
    assert box_of(drawn(mark), RED) == pytest.approx([20, 22, 60, 28], abs=0.5)


_WORDS = {"words": "a", "at": [1, 2], "size": 9, "wide": 9, "fill": RED, "alpha": 1}


@pytest.mark.parametrize(
    "copy",
    [
        None,
        [],
        {"width": 10, "height": 10},
        {"width": 1e9, "height": 10, "marks": []},
        {"width": float("nan"), "height": 10, "marks": []},
        {"width": 10, "height": 10, "marks": [{"alpha": 1}]},
        {"width": 10, "height": 10, "marks": [_WORDS | {"at": [1]}]},
        {"width": 10, "height": 10, "marks": [_WORDS | {"size": "9"}]},
        {"width": 10, "height": 10, "marks": [{"alpha": 1, "path": ["Q", 1, 2], "fill": RED}]},
        {"width": 10, "height": 10, "marks": [{"alpha": 1, "path": ["M", 1], "fill": RED}]},
        {"width": 10, "height": 10, "marks": [_WORDS] * 60_000},
        {"width": 10, "height": 10,
         "marks": [{"alpha": 1, "picture": "file:///etc/passwd", "box": [0, 0, 1, 1]}]},
        {"width": 10, "height": 10,
         "marks": [{"alpha": 1, "picture": "data:image/png;base64,AAAA", "box": [0, 0, 1, 1]}]},
    ],
)  # fmt: skip
def test_what_is_no_copy_of_a_screen_is_refused(copy: Any) -> None:
    with pytest.raises(InputError, match="picture"):
        screen_axes(copy)


def test_a_picture_of_too_many_pixels_is_not_unpacked() -> None:
    """A file of kilobytes that would be gigabytes."""
    file = io.BytesIO()
    Image.new("1", (12_000, 12_000)).save(file, "PNG")
    bomb = "data:image/png;base64," + base64.b64encode(file.getvalue()).decode()
    mark = {"alpha": 1, "picture": bomb, "box": [0, 0, 1, 1]}
    with pytest.raises(InputError, match="too large"):
        screen_axes({"width": 10, "height": 10, "marks": [mark]})


@pytest.mark.parametrize("what", PICTURES)
def test_each_kind_of_picture_is_made(what: str, tmp_path: Path) -> None:
    from soapfilm.report.section.figure import save

    mark = {"path": SQUARE, "fill": RED, "alpha": 1, "frame": [0, 0, 200, 100]}
    path = tmp_path / f"a.{what}"
    save(screen_axes({"width": 200, "height": 100, "marks": [mark, _WORDS]}), path)
    begins = {"svg": b"<?xml", "png": b"\x89PNG", "pdf": b"%PDF"}
    assert path.read_bytes().startswith(begins[what])
