"""The socket that the desk listens on."""

from __future__ import annotations

import asyncio
import socket

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
