"""No request is read further than anything that could be meant is long."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.services.bounds import MOST_BYTES

ROOM_AROUND = 100_000  # a table comes wrapped in a form


class Bounded:
    """Breaks off where a body is too long, whoever sends it: it is read before anybody is known."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        read = 0

        async def bounded() -> Message:
            nonlocal read
            message = await receive()
            read += len(message.get("body", b""))
            if read > MOST_BYTES + ROOM_AROUND:
                raise HTTPException(413, f"a request has {MOST_BYTES:,} bytes at most")
            return message

        await self.app(scope, bounded if scope["type"] == "http" else receive, send)
