"""Report pages written from Python."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from .geometry.errors import InputError

if TYPE_CHECKING:
    from .report.page.document import Document
    from .report.page.origin import Origin

#: Endings of a page.
_ENDINGS = (".html", ".htm")


def write_page(path: str | os.PathLike[str], make: Callable[[Origin], Document]) -> None:
    """Write the page of a document, whole or not at all.

    Raises
    ------
    InputError
        If the path does not end in .html, or cannot be written.
    """
    from .report.files import check_writable, write_text
    from .report.page.layout import page
    from .report.page.origin import Origin

    if Path(path).suffix.lower() not in _ENDINGS:
        raise InputError(f"cannot write {path}: the page is HTML; end its name in .html")
    check_writable(path)
    write_text(path, page(make(Origin("", (), date.today().isoformat()))))
