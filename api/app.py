"""The JSON service, put together."""

from __future__ import annotations

from fastapi import FastAPI

from api.routes import day_sheets, weeks
from api.routes.problems import answer_problems
from api.services.ports import Shelf


def create_service(shelf: Shelf) -> FastAPI:
    """The service over a shelf of plans; it describes itself at /api/openapi.json."""
    service = FastAPI(
        title="Commonrack",
        summary="Plans of a cooperative's shared vegetable-drying kitchen.",
        description="It counts and proposes. It never says that food is safe.",
        version="1",
        openapi_url="/api/openapi.json",
        docs_url=None,  # the ready-made pages load scripts from elsewhere
        redoc_url=None,
    )
    service.state.shelf = shelf
    service.include_router(weeks.router)
    service.include_router(day_sheets.router)
    answer_problems(service)
    return service
