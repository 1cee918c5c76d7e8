"""`soapfilm desk [FILE or folder]`: sections and members under the hand, in the browser."""

from __future__ import annotations

import argparse
from importlib.util import find_spec
from pathlib import Path

from ..geometry.errors import InputError
from .demo import bundled

#: What the command needs besides, by the names it is imported under.
_NEEDED = ("starlette", "uvicorn", "websockets", "tomlkit", "watchfiles")
_PORTS = 65535


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument(
        "file",
        nargs="?",
        metavar="FILE or folder",
        default=".",
        help="what to open (default: this folder); nothing outside its folder is read or written",
    )
    parser.add_argument(
        "--port", type=_port, default=0, help="port of this machine (default: any that is free)"
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address and open no browser"
    )


def run(options: argparse.Namespace) -> None:
    """Serve until stopped.

    Raises
    ------
    InputError
        If a library is missing, the path leads nowhere, or the port is taken.
    """
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise InputError(
            f"the desk needs {', '.join(missing)}; install with: pip install 'soapfilm[desk]'"
        )
    from ..desk.server import run_desk

    run_desk(Path(options.file), bundled(), options.port, browser=not options.no_browser)


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1024 <= int(text) <= _PORTS:
        raise argparse.ArgumentTypeError(f"a port is a number from 1024 to {_PORTS}, got {text!r}")
    return int(text)
