"""/api/v1/messages: the outbox; /api/v1/deeds: the audit trail."""

from __future__ import annotations

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Path

from api.routes.headers import After, Limit, page
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import MOST_NUMBER, Page
from api.schemas.message import DeedBody, MessageBody
from api.services.deeds import deeds
from api.services.house import zone_of
from api.services.messages import mark_sent, messages

router = APIRouter(prefix="/api/v1", tags=["Outbox and audit trail"])


@router.get("/messages", operation_id="messages", summary="Outbox", responses=problems(409))
def list_messages(
    desk: AtDesk, unsent: bool = True, after: After = None, limit: Limit = 50
) -> Page[MessageBody]:
    """Texts to growers, in order of writing, until a person or a webhook sends them.

    unsent=false: also those that were sent and those that a later text has overtaken.
    """
    with desk.reading() as (book, doing):
        found = messages(book, doing, unsent=unsent, after=after, limit=limit + 1)
        body = partial(MessageBody.from_domain, zone=zone_of(book))
    return page(found, limit, place=lambda each: each.number, body=body)


@router.post(
    "/messages/{number}/sent",
    operation_id="message_sent",
    summary="It was sent",
    responses=problems(404, 409),
)
def message_sent(desk: AtDesk, number: Annotated[int, Path(ge=1, le=MOST_NUMBER)]) -> MessageBody:
    """Said twice, it stays as it was said first."""
    with desk.writing() as (book, doing):
        return MessageBody.from_domain(mark_sent(book, doing, number), zone_of(book))


@router.get("/deeds", operation_id="deeds", summary="Audit trail", responses=problems(409))
def list_deeds(desk: AtDesk, after: After = None, limit: Limit = 50) -> Page[DeedBody]:
    """Who did what, when, to what."""
    with desk.reading() as (book, doing):
        found = deeds(book, doing, after=after, limit=limit + 1)
        body = partial(DeedBody.from_domain, zone=zone_of(book))
    return page(found, limit, place=lambda each: each.number, body=body)
