"""The outbox and the audit trail as JSON."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from api.records.told import Deed, Message
from api.schemas.body import Body


class MessageBody(Body):
    """overtaken_by: the number of a later text that says all that this one would."""

    number: int
    grower_id: str
    text: str
    plan: int
    written_at: datetime
    sent_at: datetime | None
    overtaken_by: int | None

    @classmethod
    def from_domain(cls, message: Message, zone: ZoneInfo) -> MessageBody:
        return cls(
            number=message.number,
            grower_id=message.grower_id,
            text=message.text,
            plan=message.plan,
            written_at=message.written_at.astimezone(zone),
            sent_at=message.sent_at.astimezone(zone) if message.sent_at else None,
            overtaken_by=message.overtaken_by,
        )


class DeedBody(Body):
    """Who did what, when, to what."""

    number: int
    at: datetime
    by: str
    act: str
    subject: str
    told: dict[str, Any]

    @classmethod
    def from_domain(cls, deed: Deed, zone: ZoneInfo) -> DeedBody:
        return cls(
            number=deed.number,
            at=deed.at.astimezone(zone),
            by=deed.by,
            act=deed.act,
            subject=deed.subject,
            told=deed.told,
        )
