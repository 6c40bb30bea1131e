"""/health: this process answers. /ready: it can read the book. /metrics: what it has answered."""

from __future__ import annotations

from hmac import compare_digest

from fastapi import APIRouter, HTTPException, Request, Response
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest

from api.measures import REGISTRY
from api.routes.inside import asked_here
from api.schemas.body import Body
from api.schemas.problem import Problem
from api.services.errors import NotKnown

router = APIRouter(tags=["Health"])


class HealthBody(Body):
    status: str


@router.get("/health", operation_id="health", summary="Alive")
def health() -> HealthBody:
    return HealthBody(status="alive")


@router.get("/ready", operation_id="ready", summary="Ready", responses={503: {"model": Problem}})
def ready(request: Request) -> HealthBody:
    """The book can be read."""
    try:
        with request.app.state.shelf.reading() as book:
            book.weeks.last()
    except Exception as error:  # whatever it is: no book, no work
        raise HTTPException(503, "the book cannot be read") from error
    return HealthBody(status="ready")


@router.get("/metrics", include_in_schema=False)
def metrics(request: Request) -> Response:
    """With the token of the settings; where there is none, from this machine only."""
    token = request.app.state.metrics_token
    shown = request.headers.get("authorization", "").removeprefix("Bearer ")
    if not (compare_digest(shown.encode(), token.encode()) if token else asked_here(request)):
        raise NotKnown("figures are read with the token of COMMONRACK_METRICS_TOKEN")
    return Response(generate_latest(REGISTRY), media_type=CONTENT_TYPE_LATEST)
