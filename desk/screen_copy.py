"""What the page has on its screen as a picture file: the marks that it took down, in its pixels.

A mark is a stroke or fill of a `path`, a `picture` in a `box`, or `words` at a place; `frame` is
the rectangle that it is seen through, and `region` a path besides.
"""

from __future__ import annotations

import base64
import io
import math
import warnings
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.path import Path

Array = NDArray[np.float64]
Mark = Mapping[str, Any]

#: Points in a pixel of a page: 96 and 72 in an inch (W3C, CSS Values and Units Level 4).
_POINTS = 72 / 96
#: The largest copy in pixels either way, its most marks, and the most pixels of its pictures.
_LARGEST, _MOST_MARKS, _MOST_PIXELS = 20_000, 50_000, 60_000_000
#: Coordinates that a step of a path has.
_STEPS = {"M": 1, "L": 1, "C": 3, "Z": 0}


def screen_axes(copy: Any) -> Axes:
    """Axes that fill a figure of the copy's size, a unit of theirs a pixel of the page.

    Raises
    ------
    InputError
        For what is no copy of a screen, or one too large.
    """
    from matplotlib.figure import Figure

    try:
        width, height = (_number(copy[key]) for key in ("width", "height"))
        marks = copy["marks"]
        if not (0 < width <= _LARGEST and 0 < height <= _LARGEST and len(marks) <= _MOST_MARKS):
            raise InputError("what is seen is too large for a picture")
        figure = Figure(figsize=(width / 96, height / 96), facecolor="white")
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_axis_off()
        axes.set(xlim=(0, width), ylim=(height, 0))
        pictures = _Pictures()
        for order, mark in enumerate(marks):
            _draw(axes, mark, order, pictures)
        return axes
    except (KeyError, TypeError, ValueError, AttributeError, OSError) as error:
        raise InputError(f"a picture that the desk does not understand: {error}") from error


def _draw(axes: Axes, mark: Mark, order: int, pictures: _Pictures) -> None:
    from matplotlib.patches import PathPatch
    from matplotlib.transforms import Bbox, TransformedBbox

    alpha = _number(mark["alpha"])
    frame = Bbox.from_bounds(*_numbers(mark["frame"], 4)) if "frame" in mark else None
    if frame is not None and (frame.width <= 0 or frame.height <= 0):
        return
    artist: Any
    if "words" in mark:
        artist = _words(axes, mark, alpha)
    elif "picture" in mark:
        x, y, w, h = _numbers(mark["box"], 4)
        pixels = pictures.read(mark["picture"])
        artist = axes.imshow(
            pixels, extent=(x, x + w, y + h, y), aspect="auto", alpha=alpha, interpolation="none"
        )
    else:
        fill, stroke = mark.get("fill"), mark.get("stroke")
        dash = [d * _POINTS for d in mark.get("dash", ())]
        artist = axes.add_patch(
            PathPatch(
                _path(mark["path"]), fill=fill is not None,
                facecolor=_colour(fill, alpha), edgecolor=_colour(stroke, alpha),
                linewidth=_number(mark["width"]) * _POINTS if stroke is not None else 0,
                joinstyle="miter" if mark.get("join") == "miter" else "round",
                linestyle=(0, tuple(_numbers(dash))) if dash else "solid", capstyle="butt",
            )
        )  # fmt: skip
    artist.set(zorder=order, clip_on=True)
    if "region" in mark:
        artist.set_clip_path(_path(mark["region"]), axes.transData)
    if frame is not None:
        artist.set_clip_box(TransformedBbox(frame, axes.transData))


def _words(axes: Axes, mark: Mark, alpha: float) -> Any:
    """Words as wide as on the page, at most as large."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    words = str(mark["words"])[:2000]
    weight = "bold" if mark.get("bold") is True else "normal"
    size, (x, y) = _number(mark["size"]), _numbers(mark["at"], 2)
    font = FontProperties(family=["DejaVu Sans"], weight=weight, size=size)
    own = text_to_path.get_text_width_height_descent(words, font, ismath=False)[0]
    fits = _number(mark["wide"]) / own if own > 0 else 1.0
    return axes.text(
        x, y, words, fontsize=max(size * min(fits, 1.0), 1.0) * _POINTS, fontweight=weight,
        color=_colour(mark["fill"], alpha), va="baseline", ha="left", parse_math=False,
    )  # fmt: skip


class _Pictures:
    """Reads pictures, as long as they are not too many pixels together."""

    def __init__(self) -> None:
        self._left = _MOST_PIXELS

    def read(self, data: str) -> NDArray[np.uint8]:
        """(rows, columns, 4) of a PNG's address as a page has it."""
        from PIL import Image

        head, _, body = data.partition(",")
        if head != "data:image/png;base64":
            raise ValueError("a picture is a PNG")
        file = io.BytesIO(base64.b64decode(body, validate=True))
        # the head alone is read before the size is known
        with warnings.catch_warnings(action="ignore", category=Image.DecompressionBombWarning):
            png = Image.open(file, formats=["PNG"])
        self._left -= png.width * png.height
        if self._left < 0:
            raise InputError("what is seen is too large for a picture")
        return np.asarray(png.convert("RGBA"))


def _path(steps: Sequence[Any]) -> Path:
    from matplotlib.path import Path

    codes: list[Any] = []
    places: list[tuple[float, float]] = []
    letters = {"M": Path.MOVETO, "L": Path.LINETO, "C": Path.CURVE4, "Z": Path.CLOSEPOLY}
    for letter, values in _steps(steps):
        if letter == "Z":
            codes.append(Path.CLOSEPOLY)
            places.append((0.0, 0.0))
            continue
        for x, y in zip(values[::2], values[1::2], strict=True):
            codes.append(letters[letter])
            places.append((x, y))
    return Path(np.reshape(places, (-1, 2)), codes) if places else Path(np.zeros((0, 2)))


def _steps(steps: Sequence[Any]) -> Iterator[tuple[str, list[float]]]:
    k = 0
    while k < len(steps):
        letter = steps[k]
        count = 2 * _STEPS[letter]
        values = _numbers(steps[k + 1 : k + 1 + count], count)
        yield letter, values
        k += 1 + count


def _colour(given: Any, alpha: float) -> tuple[float, float, float, float]:
    if given is None:
        return (0.0, 0.0, 0.0, 0.0)
    r, g, b, a = _numbers(given, 4)
    return (_share(r / 255), _share(g / 255), _share(b / 255), _share(a * alpha))


def _share(value: float) -> float:
    return min(max(value, 0.0), 1.0)


def _numbers(values: Any, count: int | None = None) -> list[float]:
    found = [_number(value) for value in values]
    if count is not None and len(found) != count:
        raise ValueError(f"{count} numbers are meant, not {len(found)}")
    return found


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ValueError("a number is meant")
    return float(value)
