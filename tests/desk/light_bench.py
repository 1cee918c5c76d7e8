"""A process that works as the solving one does and solves nothing: it starts in a moment."""

from __future__ import annotations

from multiprocessing.connection import Connection
from typing import Any

from soapfilm.desk.bench import serve
from soapfilm.desk.errand import Errand


def work(line: Connection, stale: Any) -> None:
    """Jobs that take as long as they say."""
    serve(line, stale, {"sheet": _sheet, "beside": _beside})


def ends_at_once(line: Connection, stale: Any) -> None:
    """As where a library is missing."""


def _sheet(job: dict[str, Any], errand: Errand) -> None:
    errand.tell("drawing")
    errand.tell("result", stage="coarse")
    errand.rest(job.get("seconds", 0.15))
    errand.tell("result", stage="full")


def _beside(_: dict[str, Any], errand: Errand) -> None:
    errand.tell("beside")
