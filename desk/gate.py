"""Who may speak to the desk: the page that it has opened on this machine, and nobody else.

A server on the loopback can be reached by every page that the reader's browser shows. So the
address holds a random token, which no other page knows; Host must be the loopback (a name that an
attacker has pointed there is refused: DNS rebinding); Origin, which browsers send with every
WebSocket, must be the desk itself (RFC 6455, 10.2). Everything served forbids the page to load
anything but its own files (W3C, Content Security Policy Level 3).
"""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from typing import Any

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]

#: The only addresses that the server listens on or is called by.
LOOPBACK = ("127.0.0.1", "localhost")
#: Largest message of the page in bytes: a dropped drawing, a third longer as base64.
MOST_BYTES = 30_000_000
_METHODS = ("GET", "HEAD")
_HEADERS = (
    ("cache-control", "no-store"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("referrer-policy", "no-referrer"),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
)


def new_token() -> str:
    """256 random bits for the address."""
    return secrets.token_urlsafe(32)


@dataclass(frozen=True, slots=True)
class Gate:
    """An ASGI application that lets through to another what comes from the desk's own page.

    Attributes
    ----------
    inner : ASGI application
        Sees paths without the token.
    token : str
    port : int
    """

    inner: Application
    token: str
    port: int

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 403 or 404 or hand on; a WebSocket that is refused is never accepted."""
        if scope["type"] not in ("http", "websocket"):
            await self.inner(scope, receive, send)
            return
        status = self._refusal(scope)
        if status:
            await _refuse(scope["type"], status, send)
            return
        path = scope["path"].removeprefix(f"/{self.token}")
        await self.inner(
            dict(scope, path=path, raw_path=path.encode()), receive, self._marked(send)
        )

    def _refusal(self, scope: Scope) -> int:
        """Status to refuse with; 0 to let through."""
        headers: dict[str, list[str]] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
        hosts = [f"{name}:{self.port}" for name in LOOPBACK]
        if len(headers.get("host", [])) != 1 or headers["host"][0].lower() not in hosts:
            return 403
        own = [f"http://{host}" for host in hosts]
        origins = headers.get("origin", [])
        if any(origin.lower() not in own for origin in origins):
            return 403
        if scope["type"] == "websocket" and len(origins) != 1:
            return 403
        client = scope.get("client")
        if client is not None and client[0] not in ("127.0.0.1", "::1"):
            return 403
        first = scope["path"].split("/")[1] if scope["path"].startswith("/") else ""
        if not secrets.compare_digest(first.encode(), self.token.encode()):
            return 404
        if scope["path"] == f"/{self.token}":
            return 404
        return 405 if scope["type"] == "http" and scope["method"] not in _METHODS else 0

    def _marked(self, send: Send) -> Send:
        """Sends with the policy in every answer's head."""
        sockets = " ".join(f"ws://{name}:{self.port}" for name in LOOPBACK)
        policy = (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
            f"connect-src 'self' {sockets}; base-uri 'none'; form-action 'none'; "
            "frame-ancestors 'none'"
        )
        added = [(name.encode(), value.encode()) for name, value in _HEADERS]
        added.append((b"content-security-policy", policy.encode()))

        async def marked(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                kept = [h for h in message.get("headers", []) if h[0].lower() != b"cache-control"]
                message = dict(message, headers=[*kept, *added])
            await send(message)

        return marked


async def _refuse(kind: str, status: int, send: Send) -> None:
    if kind == "websocket":
        await send({"type": "websocket.close", "code": 1008})  # before accepting: HTTP 403
        return
    words = {403: b"refused", 404: b"not found", 405: b"not allowed"}[status]
    await send(
        {
            "type": "http.response.start",
            "status": status,
            "headers": [(b"content-type", b"text/plain"), (b"content-length", b"%d" % len(words))],
        }
    )
    await send({"type": "http.response.body", "body": words})
