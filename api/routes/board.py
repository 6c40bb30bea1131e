"""GET /api/v1/board: the board paper."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.board import WeekFiguresBody
from api.schemas.body import WeekText
from api.services.board import board
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/board", tags=["Board paper"])


@router.get("", operation_id="board", summary="Board paper", responses=problems())
def board_paper(
    desk: AtDesk,
    first: Annotated[WeekText, Query(description="first ISO week")],
    last: Annotated[WeekText, Query(description="last ISO week, counted too")],
) -> list[WeekFiguresBody]:
    """Figures of the posted weeks, each with what is divided by what; no names."""
    with desk.reading() as (book, doing):
        found = board(book, doing, first=Week.parse(first), last=Week.parse(last))
        return [WeekFiguresBody.from_domain(each) for each in found]
