"""What the page and the desk say to each other over their socket.

Each message is a JSON object. The page's names its wish in `do`, an answer what it is in `kind`;
`turn` counts the page's edits, and an answer carries the turn that it is for.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Mapping
from pathlib import Path
from typing import Any

from ..geometry.errors import InputError, SoapfilmError
from ..geometry.section_file.kinds import kind_of
from ..geometry.section_file.text import parsed
from .folder import FileChangedError, Folder
from .offers import EMPTY, example_home, offers, rolled_text
from .refusal import refusal
from .sheet import MOST_TEXT, TomlSheet
from .worker import Job, Worker

Message = dict[str, Any]


class Conversation:
    """One page's talk with the desk.

    Parameters
    ----------
    send : coroutine function
        Sends a text to the page.
    folder : Folder
    examples : mapping
        Text of each bundled example by name.
    start : str, optional
        File that is opened first.
    """

    def __init__(
        self, send: Callable[[str], Awaitable[None]], folder: Folder,
        examples: Mapping[str, str], start: str | None = None,
    ) -> None:  # fmt: skip
        self._send, self._folder, self._examples, self._start = send, folder, examples, start
        self._outbox: asyncio.Queue[str] = asyncio.Queue()
        self._posting: asyncio.Task[None] | None = None
        self.worker = Worker(self._answered, self._failed)
        self._turn = 0
        self._sheet = TomlSheet("")
        self._path: str | None = None
        self._name = "sheet"
        self._home: Path | None = folder.root
        self._saved, self._digest = "", ""

    async def begin(self) -> None:
        """Start the solving process, and open the file that the desk was started with."""
        self._posting = asyncio.create_task(self._post())
        self.worker.start()
        if self._start is not None:
            await self.hear(json.dumps({"do": "open", "path": self._start}))

    async def end(self) -> None:
        """End the solving process."""
        self.worker.close()
        if self._posting is not None:
            self._posting.cancel()

    async def hear(self, text: str) -> None:
        """Do what a message of the page wishes; what is wrong with it is answered in words."""
        turn = self._turn
        try:
            message = json.loads(text)
            wish = _WISHES.get(message.get("do")) if isinstance(message, dict) else None
            if wish is None:
                raise InputError("a message that the desk does not understand")
            turn = message.get("turn", self._turn)
            if not isinstance(turn, int):
                raise InputError("a turn is a whole number")
            self._turn = max(turn, self._turn)
            wish(self, message)
        except FileChangedError as error:
            self._tell("conflict", words=str(error))
        except SoapfilmError as error:
            self._tell("refused", turn=turn, **refusal(error, self._sheet.text))
        except (ValueError, KeyError, TypeError, RecursionError) as error:
            words = f"a message that the desk does not understand: {error}"
            self._tell("refused", turn=turn, words=words, place=None, line=None)
        except OSError as error:
            words = f"{error.filename}: {error.strerror}"
            self._tell("refused", turn=turn, words=words, place=None, line=None)

    # -- wishes ------------------------------------------------------------------------------------
    def _list(self, _: Message) -> None:
        self._tell("files", **offers(self._folder, self._examples))

    def _open(self, message: Message) -> None:
        if "path" in message:
            copy = self._folder.read(str(message["path"]))
            name = str(message["path"])
            self._take(copy.text, name, Path(name).stem, self._folder.place(name).parent)
            self._digest = copy.digest
        elif "example" in message:
            name = str(message["example"])
            if name not in self._examples:
                raise InputError(f"there is no example {name!r}")
            self._take(self._examples[name], None, name, example_home())
        else:
            text, name = rolled_text(str(message["designation"]))
            self._take(text, None, name, self._folder.root)
        self._show()

    def _new(self, _: Message) -> None:
        self._take(EMPTY, None, "sheet", self._folder.root)
        self._show()

    def _text(self, message: Message) -> None:
        text = message["text"]
        if not isinstance(text, str) or len(text) > MOST_TEXT:
            raise InputError(f"a sheet is a text of at most {MOST_TEXT} characters")
        self._sheet = TomlSheet(text)
        self._show()

    def _set(self, message: Message) -> None:
        if isinstance(message.get("base"), str) and message["base"] != self._sheet.text:
            self._sheet = TomlSheet(message["base"])
        self._sheet.set(message["changes"])
        self._show()

    def _save(self, message: Message) -> None:
        name = message.get("path") or self._path
        if not name:
            raise InputError("this sheet has no file yet; give a name to save it under")
        digest = self._digest if name == self._path else None
        copy = self._folder.save(
            str(name), self._sheet.text, digest, overwrite=bool(message.get("overwrite"))
        )
        self._path, self._home = str(name), self._folder.place(str(name)).parent
        self._saved, self._digest = copy.text, copy.digest
        self._tell("saved", path=self._path, digest=self._digest)

    def _stop(self, _: Message) -> None:
        self.worker.stop()

    # -- answers -----------------------------------------------------------------------------------
    def _take(self, text: str, path: str | None, name: str, home: Path | None) -> None:
        self._sheet, self._path, self._name, self._home = TomlSheet(text), path, name, home
        self._saved, self._digest = text, ""

    def _show(self) -> None:
        """Tell the sheet as it is now, and have it solved."""
        text = self._sheet.text
        self._tell(
            "sheet", path=self._path, name=self._name, text=text, dirty=text != self._saved,
            what=_what(text),
        )  # fmt: skip
        self._ask("sheet", lane="sheet")

    def _ask(self, do: str, *, lane: str, **job: Any) -> None:
        home = str(self._home) if self._home is not None else None
        self.worker.submit({
            "do": do, "lane": lane, "turn": self._turn, "text": self._sheet.text,
            "name": self._name, "home": home, **job,
        })  # fmt: skip

    def _answered(self, _: Job, text: str) -> None:
        self._outbox.put_nowait(text)

    def _failed(self, job: Job, words: str) -> None:
        self._tell("failed", turn=job["turn"], words=words)

    def _tell(self, kind: str, **content: Any) -> None:
        self._outbox.put_nowait(json.dumps({"kind": kind, "turn": self._turn} | content))

    async def _post(self) -> None:
        while True:
            await self._send(await self._outbox.get())


def _what(text: str) -> str | None:
    """Kind of a sheet; None of one that is not TOML."""
    try:
        return kind_of(parsed(text))
    except SoapfilmError:
        return None


_WISHES: Mapping[Any, Callable[[Conversation, Message], None]] = {
    "list": Conversation._list,
    "open": Conversation._open,
    "new": Conversation._new,
    "text": Conversation._text,
    "set": Conversation._set,
    "save": Conversation._save,
    "stop": Conversation._stop,
}
