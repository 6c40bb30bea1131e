"""/api/v1/turns: when growers are expected."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query

from api.routes.inside import AtDesk
from api.routes.problems import problems
from api.schemas.body import WeekText
from api.schemas.turn import TurnBody
from api.services.house import zone_of
from api.services.turns import turns
from scheduler.domain.clock import Week

router = APIRouter(prefix="/api/v1/turns", tags=["Turns"])


@router.get("", operation_id="turns", summary="Turns", responses=problems(409))
def list_turns(
    desk: AtDesk,
    week: Annotated[WeekText, Query(description="of that ISO week")],
) -> list[TurnBody]:
    """In order of time, those called off too; a grower sees her own."""
    with desk.reading() as (book, doing):
        found = turns(book, doing, week=Week.parse(week))
        zone = zone_of(book)
        return [TurnBody.from_domain(each, zone) for each in found]
