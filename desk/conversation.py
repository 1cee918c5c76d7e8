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
from ..geometry.input_file import confined, name_of
from .adding import added
from .folder import Copy, FileChangedError, Folder
from .lesson import LESSONS, Lesson, lesson_message, listed, offered
from .offers import kind_of_text, offers, opened_sheet
from .refusal import refusal
from .sheet import TomlSheet, checked_text
from .spare import SpareBench
from .watch import Watch
from .wish import point, text_of, whole
from .worker import Job, Worker

Message = dict[str, Any]

#: Messages to the page that may wait to be sent, and seconds between looks whether they still do.
_MOST_UNSENT, _GLANCE = 100, 0.05


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
    spares : SpareBench, optional
        Where the solving process comes from.
    """

    def __init__(
        self, send: Callable[[str], Awaitable[None]], folder: Folder,
        examples: Mapping[str, str], start: str | None = None,
        spares: SpareBench | None = None,
    ) -> None:  # fmt: skip
        self._send, self._folder, self._examples, self._start = send, folder, examples, start
        self._outbox: asyncio.Queue[str] = asyncio.Queue()
        self._posting: asyncio.Task[None] | None = None
        self.worker = Worker(self._answered, self._failed, spares or SpareBench())
        self._watch = Watch(self._changed)
        self._turn, self._deforming = 0, True
        self._sheet = TomlSheet("")
        self._path: str | None = None
        self._name, self._home = "sheet", folder.root
        self._saved, self._digest = "", ""
        self._outside: Copy | None = None

    async def begin(self) -> None:
        """Start the solving process, and open the file that the desk was started with."""
        self._posting = asyncio.create_task(self._post())
        self.worker.start()
        if self._start is not None:
            await self.hear(json.dumps({"do": "open", "path": self._start}))

    async def end(self) -> None:
        """End the solving process."""
        self.worker.close()
        self._watch.end()
        if self._posting is not None:
            self._posting.cancel()

    async def room(self) -> None:
        """Wait while the page has not taken what it has been told: who asks and never listens is
        not listened to."""
        while self._outbox.qsize() > _MOST_UNSENT:
            await asyncio.sleep(_GLANCE)

    async def hear(self, text: str) -> None:
        """Do what a message of the page wishes; what is wrong with it is answered in words."""
        turn, more = self._turn, {}
        try:
            message = json.loads(text)
            wish = _WISHES.get(message.get("do")) if isinstance(message, dict) else None
            if wish is None:
                raise InputError("a message that the desk does not understand")
            more = {key: message[key] for key in ("k", "count") if key in message}
            turn = whole(message.get("turn", self._turn), "turn")
            self._turn = max(turn, self._turn)
            wish(self, message)
        except FileChangedError as error:
            self._tell("conflict", words=str(error), path=error.path, text=error.text)
        except SoapfilmError as error:
            self._tell("refused", **more, turn=turn, **refusal(error, self._sheet.text))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
            words = f"a message that the desk does not understand: {error}"
            self._tell("refused", **more, turn=turn, words=words, place=None, line=None)
        except OSError as error:
            words = f"{error.filename}: {error.strerror}"
            self._tell("refused", **more, turn=turn, words=words, place=None, line=None)

    # -- wishes ------------------------------------------------------------------------------------
    def _list(self, _: Message) -> None:
        self._tell("files", **offers(self._folder, self._examples))

    def _open(self, message: Message) -> None:
        path = message.get("path")
        if isinstance(path, str) and Path(path).suffix.lower() != ".toml":
            place = self._folder.place(path)
            self._ask("drop", lane="sheet", file=place.name, place=str(place))
            return
        found = opened_sheet(message, self._folder, self._examples)
        self._take(found.text, found.path, found.name, found.home)
        self._digest = found.digest
        self._show()

    _new = _open

    def _drop(self, message: Message) -> None:
        name, data = text_of(message, "name"), text_of(message, "data")
        if Path(name).suffix.lower() == ".toml":
            from base64 import b64decode

            text = b64decode(data, validate=True).decode("utf-8-sig")
            self._take(checked_text(text), None, Path(name).stem, self._folder.root)
            self._show()
            return
        self._ask("drop", lane="sheet", file=name, data=data, unit=message.get("unit"))

    def _resume(self, message: Message) -> None:
        path, text = message.get("path"), checked_text(message["text"])
        if isinstance(path, str) and path:
            found = opened_sheet({"path": path}, self._folder, self._examples)
            self._take(found.text, path, found.name, found.home)
            self._digest = found.digest
            self._sheet = TomlSheet(text)
        else:  # a sheet without a file: it must not be saved over the one that lay here before
            self._take(text, None, str(message.get("name") or "sheet")[:80], self._folder.root)
            self._saved = text if message.get("clean") is True else ""
        self._show()

    def _text(self, message: Message) -> None:
        text = checked_text(message["text"])
        if self._outside is not None and text == self._outside.text:
            self._saved, self._digest = text, self._outside.digest
        self._sheet = TomlSheet(text)
        self._show()

    def _set(self, message: Message) -> None:
        base = message.get("base")
        if base is not None and base != self._sheet.text:
            self._sheet = TomlSheet(checked_text(base))
        self._sheet.set(message["changes"])
        self._show(held=message.get("held") is True)

    def _rest(self, _: Message) -> None:
        """The hand has let go: what it need not see meanwhile, such as other handles."""
        self._ask("sheet", lane="sheet")

    def _add(self, message: Message) -> None:
        what, at = text_of(message, "what"), text_of(message, "at")
        self._sheet = TomlSheet(added(self._sheet.text, what, at))
        self._show()

    def _save(self, message: Message) -> None:
        name = message.get("path") or self._path
        if not isinstance(name, str):
            raise InputError("this sheet has no file yet; give a name to save it under")
        digest = self._digest if name == self._path else None
        copy = self._folder.save(
            name, self._sheet.text, digest, overwrite=bool(message.get("overwrite"))
        )
        place = self._folder.place(name)
        self._path, self._name, self._home = name, name_of(place), place.parent
        self._saved, self._digest, self._outside = copy.text, copy.digest, None
        self._watch.follow(place)
        self._tell("saved", path=self._path, digest=self._digest)

    def _lessons(self, _: Message) -> None:
        found, fault = self._offered()
        self._tell("lessons", lessons=listed(found), fault=fault)

    def _lesson(self, message: Message) -> None:
        self._tell("lesson", **lesson_message(self._offered()[0], text_of(message, "name")))

    def _offered(self) -> tuple[tuple[Lesson, ...], str]:
        """Lessons of the folder and our own, and none that a link leads to elsewhere."""
        with confined([self._folder.root, LESSONS]):
            return offered(self._folder.root)

    def _stop(self, _: Message) -> None:
        self.worker.stop()

    def _theory(self, message: Message) -> None:
        self._deforming = bool(message["deforming"])
        self._show()

    def _push(self, message: Message) -> None:
        self._ask(
            "push", lane="push", force=point(message, "force"), at=point(message, "at"),
            length=message.get("length", "3 m"), count=message.get("count"),
            joint=self._joint(message.get("joint")),
        )  # fmt: skip

    def _joint(self, wish: Any) -> dict[str, str] | None:
        """A joint of a file of the folder or of an example, by its name."""
        if not isinstance(wish, dict):
            return None
        named = {key: wish[key] for key in ("path", "example") if key in wish}
        found = opened_sheet(named or {"path": ""}, self._folder, self._examples)
        return {"text": found.text, "name": text_of(wish, "name")}

    def _slit(self, message: Message) -> None:
        self._ask("slit", lane="sheet", at=point(message, "at"))

    def _beside(self, message: Message) -> None:
        k = whole(message["k"], "k")
        if not 0 <= k <= 3:
            raise InputError("four sections at most stand side by side")
        found = opened_sheet(message, self._folder, self._examples, self._home)
        self._ask("beside", lane=f"beside {k}", k=k, count=message.get("count"), text=found.text,
                  name=found.name, home=str(found.home))  # fmt: skip

    def _modes(self, message: Message) -> None:
        self._ask("modes", lane="modes", what=message.get("what", "vibration"))

    def _export(self, message: Message) -> None:
        asked = {key: text_of(message, key) for key in ("called", "copy") if key in message}
        self._ask("export", lane="export", what=text_of(message, "what"), **asked)

    # -- answers -----------------------------------------------------------------------------------
    def _take(self, text: str, path: str | None, name: str, home: Path) -> None:
        self._sheet, self._path, self._name, self._home = TomlSheet(text), path, name, home
        self._saved, self._digest, self._outside = text, "", None
        self._watch.follow(None if path is None else self._folder.place(path))

    def _show(self, *, held: bool = False) -> None:
        """Tell the sheet as it is now, and have it solved; `held`: a handle is in the hand."""
        text = self._sheet.text
        self._tell(
            "sheet", path=self._path, name=self._name, text=text, dirty=text != self._saved,
            what=kind_of_text(text),
        )  # fmt: skip
        self._ask("sheet", lane="sheet", held=held)

    def _ask(self, do: str, *, lane: str, **job: Any) -> None:
        known = {
            "do": do, "lane": lane, "turn": self._turn, "text": self._sheet.text,
            "name": self._name, "home": str(self._home), "deforming": self._deforming,
        } | job  # fmt: skip
        self.worker.submit(known | {"roots": [str(self._folder.root), known["home"]]})

    def _answered(self, job: Job, text: str) -> None:
        if job["do"] == "drop" and (found := json.loads(text))["kind"] == "dropped":
            self._take(found["text"], None, found["name"], self._folder.root)
            self._saved = ""
            self._show()
        elif job["do"] == "slit" and (found := json.loads(text))["kind"] == "cut":
            self._sheet = TomlSheet(found["text"])
            self._show()
        else:
            self._outbox.put_nowait(text)

    def _failed(self, job: Job, words: str) -> None:
        self._tell("failed", turn=job["turn"], words=words)

    def _changed(self, copy: Copy) -> None:
        """The file on disk is not what was read or saved."""
        if copy.digest == self._digest or self._path is None:
            return
        self._outside = copy
        self._tell("changed-outside", path=self._path, text=copy.text, digest=copy.digest)

    def _tell(self, kind: str, **content: Any) -> None:
        self._outbox.put_nowait(json.dumps({"kind": kind, "turn": self._turn} | content))

    async def _post(self) -> None:
        while True:
            await self._send(await self._outbox.get())


_WISHES: Mapping[Any, Callable[[Conversation, Message], None]] = {
    name: getattr(Conversation, f"_{name}")
    for name in (
        "list", "open", "new", "drop", "resume", "text", "set", "rest", "save", "stop", "theory",
        "lessons", "lesson",
        "add", "push", "slit", "beside", "modes", "export",
    )
}  # fmt: skip
