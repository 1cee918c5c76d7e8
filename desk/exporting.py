"""What is seen on the desk as a file: a picture of the screen, or a report page."""

from __future__ import annotations

import json
import tempfile
from base64 import b64encode
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from ..geometry.errors import InputError
from ..report.page.document import Document
from ..report.page.layout import page
from ..report.page.origin import Origin
from ..report.section.figure import save
from .errand import Errand
from .screen_copy import screen_axes

#: Endings of pictures.
PICTURES = ("svg", "png", "pdf")
_LONGEST_NAME = 100


def tell_picture(errand: Errand, job: dict[str, Any]) -> None:
    """Tell the page a picture of what it has on its screen, which the job brings as `copy`, a text.

    Raises
    ------
    InputError
        If that is no copy of a screen.
    """
    axes, ending = screen_axes(_read(job.get("copy"))), job["what"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"screen.{ending}"
        save(axes, path, dpi=192)
        _tell(errand, str(job.get("called") or job["name"]), ending, path.read_bytes())


def _read(copy: Any) -> Any:
    """The copy that the page has sent as JSON: read here, where the desk does not wait for it."""
    try:
        return json.loads(copy)
    except (TypeError, ValueError, RecursionError) as error:
        raise InputError("a picture is made of what the page has on its screen") from error


def tell_report(errand: Errand, called: str, report: Callable[[Origin], Document]) -> None:
    """Tell the page the report of what has a name."""
    data = page(report(Origin("", (), date.today().isoformat()))).encode()
    _tell(errand, called, "html", data)


def _tell(errand: Errand, called: str, ending: str, data: bytes) -> None:
    stem = "".join(c if c.isalnum() or c in "-_, " else "-" for c in called)[:_LONGEST_NAME].strip()
    name = f"{stem or 'desk'}.{ending}"
    errand.tell("exported", name=name, data=b64encode(data).decode("ascii"))
