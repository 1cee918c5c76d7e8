"""A running desk, and a page's end of its socket without a page."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from websockets.sync.client import ClientConnection, connect

#: Seconds for an answer: a loaded machine may need a hundred times what an idle one does.
PATIENCE = 240.0
EXAMPLES = Path(__file__).parent.parent.parent / "cli" / "examples"


@contextmanager
def running(target: Path, *options: str) -> Iterator[str]:
    """The address of a desk that is started for the block as its users start it."""
    words = [sys.executable, "-m", "soapfilm.cli", "desk", str(target), "--no-browser", *options]
    process = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        process.stdout.readline()
        yield process.stdout.readline().strip()
    finally:
        process.terminate()
        process.wait(30)
        assert process.stdout is not None
        process.stdout.close()


class Talk:
    """What a page says and hears."""

    def __init__(self, line: ClientConnection) -> None:
        self._line = line
        self.turn = 0

    def say(self, do: str, **content: Any) -> None:
        """A message of the next turn."""
        self.turn += 1
        self._line.send(json.dumps({"do": do, "turn": self.turn} | content))

    def hear(self, *kinds: str, stage: str | None = None) -> dict[str, Any]:
        """The next answer of these kinds (of a stage); those before it are passed over."""
        while True:
            answer: dict[str, Any] = json.loads(self._line.recv(timeout=PATIENCE))
            if answer["kind"] in kinds and stage in (None, answer.get("stage")):
                return answer

    def solved(self, stage: str = "full") -> dict[str, Any]:
        """The numbers of this turn by their symbols."""
        while True:
            answer = self.hear("result", "refused", "failed")
            assert answer["kind"] == "result", answer
            if answer["turn"] == self.turn and answer["stage"] == stage:
                return {value["symbol"]: value for value in answer["values"]}


@contextmanager
def talking(address: str) -> Iterator[Talk]:
    """A socket of the desk, opened as its own page opens it."""
    parts = urlsplit(address)
    with connect(
        f"ws://{parts.netloc}{parts.path}socket",
        origin=f"http://{parts.netloc}",  # type: ignore[arg-type]
        max_size=None,
        open_timeout=PATIENCE,
    ) as line:
        yield Talk(line)
