"""Posting as JSON."""

from __future__ import annotations

from pydantic import ConfigDict, Field

from api.schemas.body import Body, Number, Wanted, YesNo
from api.schemas.message import MessageBody
from api.schemas.turn import TurnBody
from api.services.posting import OnPurpose, Posted


class PostWanted(Wanted):
    model_config = ConfigDict(json_schema_extra={"examples": [{"plan": 7}]})

    plan: Number
    move_firm_turns: YesNo = False
    over_caps: YesNo = Field(
        default=False, description="on purpose: more turns or standing lots than voted (rule 16)"
    )

    def purpose(self) -> OnPurpose:
        return OnPurpose(self.move_firm_turns, self.over_caps)


class PostedBody(Body):
    """The turns that changed, and the messages that were written."""

    plan: int
    week: str
    state: str
    turns: list[TurnBody]
    messages: list[MessageBody]

    @classmethod
    def from_domain(cls, posted: Posted) -> PostedBody:
        zone = posted.kept.asked.kitchen.zone
        return cls(
            plan=posted.kept.number,
            week=str(posted.kept.plan.week),
            state=posted.kept.state,
            turns=[TurnBody.from_domain(each, zone) for each in posted.turns],
            messages=[MessageBody.from_domain(each, zone) for each in posted.messages],
        )
