"""The call list as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Id, Text, Wanted, YesNo
from api.services.calls import Call, Reason, Why


class RungWanted(Wanted):
    """about: ids of the reasons. back: she was not rung after all."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"grower_id": "G09", "about": ["no-answer_R10"]}]}
    )

    grower_id: Id
    about: Annotated[list[Text], Field(min_length=1, max_length=200)]
    back: YesNo = False


class ReasonBody(Body):
    id: str
    why: Why
    note_id: str
    crop: str
    papers: list[str]
    turn: str | None = Field(description="uid of the turn that was moved or called off")
    rung_by: str | None
    rung_at: datetime | None

    @classmethod
    def from_domain(cls, reason: Reason) -> ReasonBody:
        rung = reason.rung
        return cls(
            id=reason.id,
            why=reason.why,
            note_id=reason.entry.id,
            crop=reason.card.name,
            papers=list(reason.papers),
            turn=reason.turn.uid if reason.turn else None,
            rung_by=rung.by if rung else None,
            rung_at=rung.at if rung else None,
        )


class CallBody(Body):
    grower_id: str
    name: str
    farm: str
    telephone: str = Field(description="empty where the book has no number")
    reasons: list[ReasonBody]

    @classmethod
    def from_domain(cls, call: Call) -> CallBody:
        return cls(
            grower_id=call.grower.id,
            name=call.grower.name,
            farm=call.grower.farm,
            telephone=call.telephone,
            reasons=[ReasonBody.from_domain(each) for each in call.reasons],
        )
