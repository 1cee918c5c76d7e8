"""The desk as an ASGI application: its page, the page's files, and the socket they talk over."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, PlainTextResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket, WebSocketDisconnect

from .conversation import Conversation
from .gate import Gate
from .spare import SpareBench

if TYPE_CHECKING:
    from .folder import Folder

_HERE = Path(__file__).parent
#: Where the page's files are: its own first, then those that it shares with the report page.
ASSETS = (_HERE / "assets", _HERE.parent / "report" / "page" / "assets")
#: Pages that may be open at once: each has a solving process.
MOST_PAGES = 12
_KINDS = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}


def desk_app(
    folder: Folder, examples: Mapping[str, str], token: str, port: int, start: str | None = None
) -> Gate:
    """The application.

    Parameters
    ----------
    folder : Folder
        The only one that is read and written.
    examples : mapping
        Text of each bundled example by name.
    token, port
        Of the address.
    start : str, optional
        File of the folder that the page opens with.
    """

    spares = SpareBench()

    async def page(_: Request) -> Response:
        return FileResponse(ASSETS[0] / "index.html")

    async def asset(request: Request) -> Response:
        name = request.path_params["name"]
        if "/" in name or "\\" in name or Path(name).suffix not in _KINDS:
            return PlainTextResponse("not found", 404)
        for place in ASSETS:
            if (place / name).is_file():
                return FileResponse(place / name, media_type=_KINDS[Path(name).suffix])
        return PlainTextResponse("not found", 404)

    pages: set[WebSocket] = set()

    async def socket(line: WebSocket) -> None:
        if len(pages) >= MOST_PAGES:
            await line.close(1013)
            return
        pages.add(line)
        await line.accept()
        conversation = Conversation(line.send_text, folder, examples, start, spares)
        try:
            await conversation.begin()
            while True:
                await conversation.room()
                text = await line.receive_text()
                await conversation.hear(text)
        except (WebSocketDisconnect, KeyError):  # KeyError: a message of bytes
            pass
        finally:
            pages.discard(line)
            await conversation.end()

    routes = [
        Route("/", page),
        Route("/assets/{name}", asset),
        WebSocketRoute("/socket", socket),
    ]
    return Gate(Starlette(routes=routes), token, port)
