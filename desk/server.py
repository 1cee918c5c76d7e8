"""Running the desk: a free port of the loopback, the browser opened on it, until Ctrl-C."""

from __future__ import annotations

import ctypes
import errno
import socket
import webbrowser
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from threading import Timer

from ..geometry.errors import InputError
from ..geometry.input_file import forgetting
from .app import desk_app
from .folder import Folder
from .gate import LOOPBACK, MOST_BYTES, new_token

#: Seconds after which the browser is opened: the server listens by then.
_SOON = 0.3
#: glibc's M_ARENA_MAX (malloc.h).
_ARENA_MAX = -8


def run_desk(
    target: Path, examples: Mapping[str, str], port: int = 0, *, browser: bool = True
) -> None:
    """Serve a folder or a file's folder until the process is stopped.

    Parameters
    ----------
    target : path
        A folder, or a file that the page opens with.
    examples : mapping
        Text of each bundled example by name.
    port : int
        0 for any that is free.
    browser : bool
        Whether to open one.

    Raises
    ------
    InputError
        If there is no such file or folder, or the port is taken.
    """
    import uvicorn

    from .brief_connection import BriefConnection

    share_one_heap()
    folder, start = opened(target)
    listening = listening_socket(port)
    port = listening.getsockname()[1]
    token = new_token()
    address = f"http://{LOOPBACK[0]}:{port}/{token}/"
    print(f"soapfilm desk: {folder.root}\n{address}\nstop it with Ctrl-C", flush=True)
    if browser:
        timer = Timer(_SOON, webbrowser.open, [address])
        timer.daemon = True
        timer.start()
    config = uvicorn.Config(
        desk_app(folder, examples, token, port, start),
        http=BriefConnection, log_level="error", access_log=False, lifespan="off",
        ws="websockets-sansio",
        ws_max_size=MOST_BYTES, ws_per_message_deflate=False, server_header=False,
        timeout_graceful_shutdown=2, proxy_headers=False,
    )  # fmt: skip
    with listening, forgetting():  # sheets are written where they were read
        uvicorn.Server(config).run(sockets=[listening])


def share_one_heap() -> None:
    """Have threads that are started from now on allocate from one heap (glibc; nothing elsewhere):
    each would keep for itself what it has freed, and a desk that is open all day has had hundreds
    of them."""
    with suppress(OSError, AttributeError, TypeError):  # musl, macOS, Windows
        ctypes.CDLL(None).mallopt(_ARENA_MAX, 1)


def opened(target: Path) -> tuple[Folder, str | None]:
    """The folder of a path, and the file in it that the path names, if it names one.

    Raises
    ------
    InputError
        If there is neither.
    """
    if target.is_dir():
        return Folder.at(target), None
    if not target.exists():
        raise InputError(f"{target}: there is no such file or folder")
    folder = Folder.at(target.resolve().parent)
    return folder, target.resolve().name


def listening_socket(port: int) -> socket.socket:
    """A socket of the loopback that listens.

    Raises
    ------
    InputError
        If the port is taken or cannot be used.
    """
    # Of TCP by name: asyncio then sends what is small at once (TCP_NODELAY); without it answers
    # waited 40 ms for the browser's acknowledgement of the ones before.
    server = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    server.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        server.bind((LOOPBACK[0], port))
        server.listen(128)
    except OSError as error:
        server.close()
        if error.errno == errno.EADDRINUSE:
            raise InputError(
                f"port {port} is in use by another program; leave --port out for a free one"
            ) from error
        raise InputError(f"port {port} cannot be used: {error.strerror}") from error
    return server
