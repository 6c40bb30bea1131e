"""Turns as JSON, by the kitchen's clock."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from api.schemas.body import Body
from scheduler.domain.turn import Turn, TurnKind, TurnState


class TurnBody(Body):
    """uid stays for good; sequence grows with every change."""

    uid: str
    kind: TurnKind
    grower_id: str
    note_id: str
    lot: str
    start: datetime
    end: datetime
    state: TurnState
    title: str
    place: str
    facts: list[str]
    sequence: int

    @classmethod
    def from_domain(cls, turn: Turn, zone: ZoneInfo) -> TurnBody:
        return cls(
            uid=turn.uid,
            kind=turn.kind,
            grower_id=turn.whose,
            note_id=turn.note_id,
            lot=turn.subject,
            start=turn.start.astimezone(zone),
            end=turn.end.astimezone(zone),
            state=turn.state,
            title=turn.title,
            place=turn.place,
            facts=list(turn.facts),
            sequence=turn.sequence,
        )
