"""The page "My calendar": addresses that a calendar subscribes to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from api.records.people import Token
from web.views.form import Field, Form
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/my-calendar"
NIGHTS = "on call"  # among the choices: no station has that id


@dataclass(frozen=True, slots=True)
class Given:
    """An address that was given, without its secret. of: what it shows, "" for one's own turns."""

    of: str
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


def calendar_form(reading: Reading, shown: tuple[tuple[str, str], ...] = ()) -> Form:
    """shown: what can be chosen, where there is a choice."""
    of = Field("of", reading.say("Of what?"), "choice", options=shown)
    return Form(ADDRESS, reading.say("Make a calendar link"), (of,) if shown else ())


def calendar_page(
    tokens: Iterable[Token], reading: Reading, *, made: str, form: Form
) -> CalendarPage:
    """made: a whole address, "" where none was made just now."""
    return CalendarPage(
        made=made,
        subscribe=f"webcal:{made.partition(':')[2]}" if made else "",
        given=tuple(
            Given(
                _shown(each, reading), reading.moment(each.given_at), f"{ADDRESS}/{each.id}/revoke"
            )
            for each in tokens
        ),
        form=form,
    )


def _shown(token: Token, reading: Reading) -> str:
    kind, _, whose = token.subject.partition(":")
    return {"station": whose, NIGHTS: reading.say("Nights on call")}.get(kind, "")
