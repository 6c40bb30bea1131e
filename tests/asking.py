"""Asks an application, without a network."""

from __future__ import annotations

import asyncio

import httpx
from fastapi import FastAPI


class Asking:
    """GET requests, one at a time; an error inside is answered, not raised."""

    def __init__(self, app: FastAPI) -> None:
        self.app = app

    def get(self, path: str, *, follow: bool = False) -> httpx.Response:
        return asyncio.run(self._get(path, follow=follow))

    async def _get(self, path: str, *, follow: bool) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://kitchen") as client:
            return await client.get(path, follow_redirects=follow)
