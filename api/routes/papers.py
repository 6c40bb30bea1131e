"""/api/v1/papers: papers in order."""

from __future__ import annotations

from fastapi import APIRouter

from api.records.house import KeptPaper
from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import Id
from api.schemas.papers import (
    ApprovalBody,
    ApprovalWanted,
    GrowersPapersBody,
    PaperSeenBody,
    PaperWanted,
)
from api.services import papers
from api.services.coming import touched_by
from api.services.house import today_of

router = APIRouter(prefix="/api/v1/papers", tags=["Papers in order"])


@router.get("", operation_id="papers", summary="Papers in order", responses=problems(409))
def list_papers(desk: AtDesk) -> list[GrowersPapersBody]:
    """Every grower's, with the days they still hold; a grower sees her own."""
    with desk.reading() as (book, doing):
        return [GrowersPapersBody.from_domain(each) for each in papers.papers(book, doing)]


@router.put(
    "/growers/{grower_id}",
    operation_id="paper_seen",
    summary="A paper was seen",
    responses=problems(404, 409),
)
def paper_seen(desk: AtDesk, grower_id: Id, wanted: PaperWanted) -> PaperSeenBody:
    """It stands in the place of the one of the same kind. A new helper is written down. Told at
    once: her notes that cannot be firm, with their turns; nothing is moved by it."""
    with desk.writing() as (book, doing):
        seen = KeptPaper(grower_id, wanted.helper, wanted.kind, wanted.until, "", doing.at)
        kept = papers.paper_seen(book, doing, seen)
        touched = touched_by(book, doing, grower_id)
        return PaperSeenBody.of(kept, touched, today_of(book, doing.at))


@router.post(
    "/cards/{card_id}",
    operation_id="card_approved",
    summary="A letter for a process card was seen",
    status_code=201,
    responses=problems(404),
)
def card_approved(desk: AtDesk, card_id: Id, wanted: ApprovalWanted) -> ApprovalBody:
    with desk.writing() as (book, doing):
        found = papers.card_approved(book, doing, card_id, letter=wanted.letter, until=wanted.until)
        return ApprovalBody.from_domain(found)
