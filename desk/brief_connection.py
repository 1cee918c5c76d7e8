"""HTTP connections that do not last: who begins a request and never ends it (slow loris), or opens
connections without a word, keeps nobody else out.

The server's library limits the size of a request's head and the pause after an answer, not the time
that a head may take. The page's socket is no such connection once it is upgraded.
"""

from __future__ import annotations

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

#: Seconds after which a connection that is not being answered is closed; browsers open another.
LONGEST = 20.0
#: Connections at once: the oldest that is not being answered makes room for a new one.
MOST = 200


class BriefConnection(H11Protocol):
    """HTTP/1.1 as the library speaks it, for so long."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin; the end is set."""
        super().connection_made(transport)
        self.begun = self.loop.time()
        self.loop.call_later(LONGEST, self._end)
        idle = [c for c in self.connections if isinstance(c, BriefConnection) and c.idle]
        if len(idle) > MOST:
            min(idle, key=lambda c: c.begun).transport.close()

    @property
    def idle(self) -> bool:
        """Whether it is open and no answer is being sent over it."""
        answering = self.cycle is not None and not self.cycle.response_complete
        return not answering and not self.transport.is_closing()

    def _end(self) -> None:
        if self.transport.is_closing() or self.transport.get_protocol() is not self:
            return
        if self.idle:
            self.transport.close()
        else:
            self.loop.call_later(LONGEST, self._end)
