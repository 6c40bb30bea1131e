"""Asks an application, without a network."""

from __future__ import annotations

import asyncio
from typing import Any

import httpx
from fastapi import FastAPI


class Asking:
    """Requests one at a time, with a token or the cookies of before; errors inside are answered."""

    def __init__(
        self, app: FastAPI, token: str | None = None, *, base_url: str = "http://kitchen"
    ) -> None:
        self.app = app
        self.base_url = base_url
        self.cookies = httpx.Cookies()
        self.headers = {"Authorization": f"Bearer {token}"} if token else {}

    def get(self, path: str, *, follow: bool = False, **more: Any) -> httpx.Response:
        return self.ask("GET", path, follow_redirects=follow, **more)

    def post(self, path: str, body: Any = None, **more: Any) -> httpx.Response:
        return self.ask("POST", path, json=body, **more)

    def ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        headers = {**self.headers, **more.pop("headers", {})}
        return asyncio.run(self._ask(method, path, headers=headers, **more))

    async def _ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, raise_app_exceptions=False)
        async with httpx.AsyncClient(
            transport=transport, base_url=self.base_url, cookies=self.cookies
        ) as client:
            answer = await client.request(method, path, **more)
            self.cookies = client.cookies
            return answer
