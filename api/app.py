"""The JSON service, put together."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from secrets import token_hex
from typing import Any

from fastapi import FastAPI

from api.cookies import Cookies
from api.measures import Measured
from api.routes import (
    bills,
    board,
    board_suppositions,
    day_sheets,
    feeds,
    health,
    held,
    house,
    lay_outs,
    lots,
    mends,
    messages,
    notes,
    outages,
    papers,
    people,
    places,
    runs,
    sessions,
    standing_lots,
    suppositions,
    ticks,
    turns,
    weeks,
    wishes,
)
from api.routes.problems import answer_problems, as_problem_json
from api.services.bounds import MOST_BYTES
from api.services.ports import Shelf
from api.services.throttle import Throttle

AROUND_A_TABLE = 100_000  # bytes: it comes wrapped in a form
SUBJECTS = (
    sessions,
    people,
    notes,
    places,
    standing_lots,
    weeks,
    wishes,
    lay_outs,
    mends,
    suppositions,
    day_sheets,
    ticks,
    turns,
    feeds,
    runs,
    lots,
    held,
    house,
    papers,
    outages,
    bills,
    board_suppositions,
    board,
    messages,
    health,
)


def _now() -> datetime:
    return datetime.now(UTC)


def cookie_key(shelf: Shelf) -> str:
    """The key that signs cookies: the same for every process that serves this book."""
    with shelf.writing() as book:
        return book.secret("cookies", lambda: token_hex(32))


def create_service(
    shelf: Shelf,
    *,
    key: str | None = None,
    clock: Callable[[], datetime] = _now,
    https_only: bool = False,
    metrics_token: str = "",
) -> FastAPI:
    """The service over the book; it describes itself at /api/openapi.json.

    key signs cookies; without one they end with this process. https_only: cookies go over HTTPS
    only, even where it does not know that it was asked so. metrics_token: what /metrics is read
    with; without one, from this machine only.
    """
    service = _Described(
        title="Commonrack",
        summary="The book of a cooperative's shared vegetable-drying kitchen.",
        description="It counts and proposes. It never says that food is safe.",
        version="1",
        openapi_url="/api/openapi.json",
        docs_url=None,  # the ready-made pages load scripts from elsewhere
        redoc_url=None,
        max_body_size=MOST_BYTES + AROUND_A_TABLE,  # it is read before anybody is known
    )
    service.state.shelf = shelf
    service.state.clock = clock
    service.state.throttle = Throttle()
    service.state.metrics_token = metrics_token
    for subject in SUBJECTS:
        service.include_router(subject.router)
    answer_problems(service)
    service.add_middleware(Cookies, key=key or token_hex(32), https_only=https_only)
    service.add_middleware(Measured)
    return service


class _Described(FastAPI):
    """Tells problems under their own media type."""

    def openapi(self) -> dict[str, Any]:
        if self.openapi_schema is None:
            as_problem_json(super().openapi())
        return super().openapi()
