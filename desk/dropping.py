"""Drawings dropped onto the desk become section files."""

from __future__ import annotations

import tempfile
from base64 import b64decode
from dataclasses import replace
from pathlib import Path
from typing import Any

from ..geometry.drawings import read_drawing
from ..geometry.errors import InputError, UnitError
from ..geometry.input_file import confined
from .drawn_text import drawn_text
from .errand import Errand
from .folder import DRAWINGS


def drop(job: dict[str, Any], errand: Errand) -> None:
    """The text of the section in a drawing, for the desk to take over.

    The drawing is read in a folder of its own: its name is the page's, not to be trusted.
    """
    suffix = Path(job["file"]).suffix.lower()
    if suffix not in DRAWINGS:
        raise InputError(
            f"{job['file'][:80]}: the desk takes section files (.toml) and drawings "
            f"({', '.join(DRAWINGS)})"
        )
    stem = Path(job["file"]).stem[:80] or "drawing"
    with tempfile.TemporaryDirectory(prefix="soapfilm-desk-") as folder:
        if "place" in job:  # a file of the opened folder
            path = Path(job["place"])
        else:
            path = Path(folder) / f"drawing{suffix}"
            path.write_bytes(b64decode(job["data"], validate=True))
        try:
            with confined([path.parent]):
                section = read_drawing(path, job.get("unit") or None)
        except UnitError:
            words = f"{job['file'][:80]} names no length unit; say which it is drawn in"
            errand.tell("refused", words=words, place=None, line=None, needs="unit")
            return
        except InputError as error:
            raise InputError(f"{job['file'][:80]}: {str(error).replace(str(path), '')}") from error
    errand.tell("dropped", text=drawn_text(replace(section, name=stem), job["file"][:80]),
                name=stem)  # fmt: skip
