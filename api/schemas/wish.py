"""The manager's wishes as JSON."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field

from api.records.wishes import WishEntry
from api.schemas.body import Body, Day, Id, Instant, Wanted
from api.services.wishes import when
from scheduler.domain.rules import TITLES
from scheduler.domain.wish import Wish, WishKind
from scheduler.reasons.judged import Judged, Verdict


class WishWanted(Wanted):
    """A lot pinned to a dryer, to a day, or to the run that starts then; or forbidden there; or a
    dryer left free from start to end."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"kind": "pin", "note_id": "R03", "dryer_id": "D2", "day": "2026-08-19"}]
        }
    )

    kind: WishKind
    note_id: Id | None = Field(None, description="of a pin, and of what is forbidden")
    dryer_id: Id | None = None
    day: Day | None = Field(None, description="run starts on that day; or all of it is left free")
    start: Instant | None = Field(None, description="in place of a day")
    end: Instant | None = Field(
        None, description="run starts from start to end; without it, the run that starts then"
    )

    def wish(self, zone: ZoneInfo) -> Wish:
        """BadInput where the time cannot be meant."""
        span = when(zone, day=self.day, start=self.start, end=self.end)
        note = "" if self.kind == "leave free" else self.note_id or ""
        return Wish(0, self.kind, note, self.dryer_id or "", span)


class WishBody(Body):
    """start and end: of run starts, or of the time left free. undone_at: null while it holds."""

    number: int
    week: str
    kind: WishKind
    note_id: str | None
    dryer_id: str | None
    start: datetime | None
    end: datetime | None
    by: str
    at: datetime
    undone_at: datetime | None

    @classmethod
    def from_domain(cls, entry: WishEntry, zone: ZoneInfo) -> WishBody:
        at = {
            name: each.astimezone(zone) if each else None
            for name in ("start", "end", "undone_at")
            for each in [getattr(entry, name)]
        }
        return cls(
            number=entry.number,
            week=str(entry.week),
            kind=entry.kind,
            note_id=entry.note_id or None,
            dryer_id=entry.dryer_id or None,
            by=entry.by,
            at=entry.at.astimezone(zone),
            **at,
        )


class JudgedBody(Body):
    """What a wish would come to, found by hand beside the plan laid out last."""

    verdict: Verdict
    sentence: str
    rule: int | None = Field(description="number of the rule in the way")
    rule_title: str | None

    @classmethod
    def from_domain(cls, found: Judged) -> JudgedBody:
        return cls(
            verdict=found.verdict,
            sentence=found.sentence,
            rule=found.rule,
            rule_title=TITLES[found.rule] if found.rule else None,
        )
