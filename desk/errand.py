"""A job from inside the solving process: it answers, and learns when it is no longer wanted."""

from __future__ import annotations

import json
from multiprocessing.connection import Connection
from time import monotonic, sleep
from typing import Any

#: Seconds between two looks at whether a job has become stale while it waits: a moving hand waits
#: for them.
_GLANCE = 0.001


class Cancelled(Exception):
    """The job at work is no longer wanted, for a newer one has come."""


class Errand:
    """What a job sees of the desk: it tells answers, and asks whether it is still wanted."""

    def __init__(self, line: Connection, stale: Any, job: dict[str, Any]) -> None:
        self._line, self._stale, self._job = line, stale, job

    def tell(self, kind: str, **content: Any) -> None:
        """Send an answer, unless the job is stale."""
        self.check()
        answer = {"kind": kind, "turn": self._job["turn"], **content}
        # which of several sections side by side, which push: a refusal is said where it was asked
        answer |= {key: self._job[key] for key in ("k", "count") if key in self._job}
        self._line.send((self._job["number"], json.dumps(answer)))

    def check(self) -> None:
        """Leave the job if a newer one has made it stale."""
        if self._stale.value >= self._job["number"]:
            raise Cancelled

    def rest(self, seconds: float) -> None:
        """Wait for the hand to rest; leave the job if it moves."""
        end = monotonic() + seconds
        while monotonic() < end:
            self.check()
            sleep(_GLANCE)
        self.check()
