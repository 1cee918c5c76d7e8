"""What is seen on the desk as a file: a report page, or a picture."""

from __future__ import annotations

import tempfile
from base64 import b64encode
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from ..report.page.document import Document
from ..report.page.layout import page
from ..report.page.origin import Origin
from ..report.section.figure import save
from .errand import Errand


def tell_file(
    errand: Errand,
    what: str,
    called: tuple[str, str],
    report: Callable[[Origin], Document],
    draw: Callable[[], Any],
) -> None:
    """Tell the page a file to save.

    Parameters
    ----------
    errand : Errand
    what : str
        "report", or a picture's ending.
    called : (str, str)
        What is seen by its own name, and its kind, which names the file of what has none.
    report, draw : functions
        Make the page, and the matplotlib axes.
    """
    own, kind = called
    stem = "".join(c if c.isalnum() or c in "-_ " else "-" for c in own).strip() or kind
    if what == "report":
        ending, data = "html", page(report(Origin("", (), date.today().isoformat()))).encode()
    else:
        ending = what
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"{kind}.{ending}"
            save(draw(), path)
            data = path.read_bytes()
    errand.tell("exported", name=f"{stem}.{ending}", data=b64encode(data).decode("ascii"))
