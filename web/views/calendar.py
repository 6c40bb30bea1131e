"""The page "My calendar": addresses that a calendar subscribes to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from api.records.people import Token
from web.views.form import Form
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/my-calendar"


@dataclass(frozen=True, slots=True)
class Given:
    """An address that was given, without its secret."""

    since: str
    revoke: str


@dataclass(frozen=True, slots=True)
class CalendarPage(Page):
    """made: the address just made, to be seen this once; subscribe: the same for a calendar."""

    template: ClassVar[str] = "calendar.html"
    made: str
    subscribe: str
    given: tuple[Given, ...]
    form: Form


def calendar_page(tokens: Iterable[Token], reading: Reading, *, made: str) -> CalendarPage:
    """made: a whole address, "" where none was made just now."""
    return CalendarPage(
        made=made,
        subscribe=f"webcal:{made.partition(':')[2]}" if made else "",
        given=tuple(
            Given(reading.moment(each.given_at), f"{ADDRESS}/{each.id}/revoke") for each in tokens
        ),
        form=Form(ADDRESS, reading.say("Make a calendar link")),
    )
