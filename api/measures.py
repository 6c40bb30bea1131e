"""What each request took, counted for Prometheus and logged without a word about persons."""

from __future__ import annotations

from time import perf_counter

import structlog
from prometheus_client import CollectorRegistry, Counter, Histogram
from starlette.types import ASGIApp, Message, Receive, Scope, Send

REGISTRY = CollectorRegistry()
REQUESTS = Counter(
    "commonrack_requests", "Requests answered", ("method", "route", "status"), registry=REGISTRY
)
SECONDS = Histogram(
    "commonrack_request_seconds",
    "Seconds to an answer",
    ("method", "route"),
    registry=REGISTRY,
    buckets=(0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5),
)
_log = structlog.get_logger("commonrack")


class Measured:
    """Around the whole service. The route's pattern is told, never the path with its names."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started, status = perf_counter(), 500

        async def noticed(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self.app(scope, receive, noticed)
        finally:
            _tell(scope, status, perf_counter() - started)


def _tell(scope: Scope, status: int, seconds: float) -> None:
    route = getattr(scope.get("route"), "path", "none")
    method = scope["method"] if route != "none" else "any"
    REQUESTS.labels(method, route, status).inc()
    SECONDS.labels(method, route).observe(seconds)
    _log.info("answered", method=method, route=route, status=status, ms=round(1000 * seconds, 1))
