"""The page "Outbox": texts to growers that are to be sent, and that one was."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import ClassVar

from api.records.told import Message
from web.views.form import Form
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/messages"


@dataclass(frozen=True, slots=True)
class MessageRow:
    """The text stands in English, as it is sent."""

    number: int
    grower: str
    written: str
    text: str
    sent: Form


@dataclass(frozen=True, slots=True)
class MessagesPage(Page):
    template: ClassVar[str] = "messages.html"
    rows: tuple[MessageRow, ...]


def messages_page(
    found: Iterable[Message], growers: Mapping[str, str], reading: Reading
) -> MessagesPage:
    """growers: what each is called, by id."""
    return MessagesPage(
        tuple(
            MessageRow(
                number=each.number,
                grower=growers.get(each.grower_id, each.grower_id),
                written=reading.moment(each.written_at.replace(second=0)),
                text=each.text,
                sent=Form(f"{ADDRESS}/{each.number}/sent", reading.say("It was sent")),
            )
            for each in found
        )
    )
