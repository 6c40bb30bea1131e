"""Signed cookies, which go over HTTPS only as soon as people come over it."""

from __future__ import annotations

from starlette.middleware.sessions import SessionMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

from api.services.tokens import SESSION


class Cookies:
    """A session in a signed cookie; Secure where asked over HTTPS, or always with https_only.

    That a proxy was asked over HTTPS is told by its X-Forwarded-Proto, which uvicorn believes from
    this machine alone, unless told otherwise by FORWARDED_ALLOW_IPS.
    """

    def __init__(self, app: ASGIApp, *, key: str, https_only: bool) -> None:
        self.anyhow, self.secure = (
            SessionMiddleware(
                app,
                secret_key=key,
                session_cookie="commonrack",
                max_age=int(SESSION.total_seconds()),
                same_site="lax",
                https_only=only,
            )
            for only in (https_only, True)
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        over_https = scope.get("scheme") == "https"
        await (self.secure if over_https else self.anyhow)(scope, receive, send)
