"""The server's own: the socket that it listens on, the heap of its threads."""

from __future__ import annotations

import asyncio
import platform
import socket
import subprocess
import sys

import pytest
from soapfilm.desk.server import listening_socket


def test_small_answers_are_sent_at_once() -> None:
    """Asyncio sets TCP_NODELAY on connections of sockets that are of TCP by name; on others each
    answer waited for the acknowledgement of the one before (RFC 896; 40 ms on Linux)."""
    found: list[int] = []

    async def serve() -> None:
        async def take(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            line = writer.get_extra_info("socket")
            found.append(line.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        listening = listening_socket(0)
        async with await asyncio.start_server(take, sock=listening):
            reader, writer = await asyncio.open_connection(*listening.getsockname())
            await reader.read()
            writer.close()
            await writer.wait_closed()

    asyncio.run(serve())
    assert found != []
    assert all(found)


THREADS = """
import re, sys, threading
from pathlib import Path
from soapfilm.desk.server import share_one_heap

def reserved():
    return int(re.search(r"VmSize:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) / 1e3

if sys.argv[1] == "one":
    share_one_heap()
there, go = threading.Barrier(9), threading.Barrier(9)
def hold():
    kept = [bytes(1000) for _ in range(500)]
    there.wait(); go.wait()
before = reserved()
for _ in range(8):
    threading.Thread(target=hold).start()
there.wait()
print(reserved() - before)
go.wait()
"""


def test_threads_share_one_heap() -> None:
    """Each thread of its own heap reserves 64 MB for it beside its stack of 8 (glibc's arena.c);
    what the desk held grew by 14 MB in a quarter of an hour of random actions."""
    if platform.libc_ver()[0] != "glibc":
        pytest.skip("heaps of threads are glibc's")
    found = {}
    for mode in ("one", "own"):
        command = [sys.executable, "-c", THREADS, mode]
        shown = subprocess.run(command, capture_output=True, text=True, check=True)
        found[mode] = float(shown.stdout)
    assert found["one"] < 8 * 12
    assert found["own"] > 8 * 64
