"""/api/v1/feeds: calendars under secret addresses."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Header, Request, Response
from pydantic import ConfigDict, Field

from api import feeds
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Secret, Wanted
from api.schemas.people import GivenBody
from api.services.feed_addresses import Feed, feed_at, give_feed

router = APIRouter(prefix="/api/v1/feeds", tags=["Calendar feeds"])


class FeedWanted(Wanted):
    """whose: the id of the grower or the station."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"kind": "grower", "whose": "G01"}]})

    kind: Literal["grower", "station", "on call"]
    whose: Annotated[str, Field(pattern=r"^[^\x00-\x20\x7f/]{0,60}$")] = ""


@router.post(
    "",
    operation_id="new_feed",
    summary="A new feed address",
    status_code=201,
    responses=problems(404, 409),
)
def new_feed(desk: AtDesk, wanted: FeedWanted) -> GivenBody:
    """For a calendar to subscribe to. Who has the address reads it: revoke it like a token."""
    with desk.writing() as (book, doing):
        given = give_feed(book, doing, wanted.kind, wanted.whose)
    return GivenBody.from_domain(given, f"/api/v1/feeds/{given.secret}")


@router.get(
    "/{secret}",
    operation_id="feed",
    summary="A feed",
    response_class=Response,
    responses={
        200: {"content": {"text/calendar": {"schema": {"type": "string"}}}},
        304: {"description": "It has not changed"},
        **problems(409),
    },
)
def feed(
    request: Request, secret: Secret, if_none_match: Annotated[str | None, Header()] = None
) -> Response:
    """iCalendar (RFC 5545) with the zone's own rules."""
    state = request.app.state
    with state.shelf.reading() as book:
        body = _calendar(feed_at(book, secret, state.clock()))
    tag = {"ETag": feeds.etag(body), "Cache-Control": "private, no-cache"}
    if feeds.is_known(tag["ETag"], if_none_match):
        return Response(status_code=304, headers=tag)
    return Response(body, headers=tag, media_type=feeds.MEDIA_TYPE)


def _calendar(found: Feed) -> bytes:
    if found.grower is not None:
        return feeds.grower_feed(found.turns, found.grower, found.kitchen)
    if found.kind == "station":
        return feeds.station_feed(found.turns, found.whose, found.kitchen)
    return feeds.on_call_feed(found.turns, found.kitchen)
