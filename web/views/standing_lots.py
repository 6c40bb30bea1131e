"""The page "Standing lots": what comes every week, a new one, and the last time of one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from api.records.notes import StandingLot
from scheduler.domain.clock import Week
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS
from web.views.links import Link
from web.views.page import Page
from web.views.reading import Reading
from web.views.tell import MORNING, more_fields

WHERE = f"{ADDRESS}/standing-lots"
NAMES = {"grower_id": "grower", "card_id": "crop", "field_kg": "weight"}
Named = Sequence[tuple[str, str]]
A_MONDAY = date(2024, 1, 1)


@dataclass(frozen=True, slots=True)
class StandingRow:
    """end: where its last week is said, or another one."""

    name: str
    whose: str
    when: str
    weeks: str
    end: Link


@dataclass(frozen=True, slots=True)
class StandingPage(Page):
    template: ClassVar[str] = "standing_lots.html"
    rows: tuple[StandingRow, ...]
    form: Form


def standing_form(growers: Named, crops: Named, week: Week, reading: Reading) -> Form:
    """week: from which on it comes, until somebody says otherwise."""
    say = reading.say
    days = tuple((str(number), weekday(number, reading)) for number in range(7))
    fields = (
        Field("grower", say("Whose?"), "choice", options=tuple(growers)),
        Field("crop", say("Which crop?"), "choice", options=tuple(crops)),
        Field("weight", say("How much, each time?"), "decimal", unit=reading.weight_unit,
              more={"maxlength": "12"}),
        Field("weekday", say("On which day of the week?"), "choice", options=days),
        Field("at", say("At what time?"), "time"),
        Field("first", say("For the first time in week"), hint=say("Written like 2026-W34")),
        *more_fields(reading),
    )  # fmt: skip
    said = {"at": MORNING, "may_split": "yes", "weekday": "0", "first": str(week)}
    return Form(WHERE, say("Keep it as a standing lot"), fields, said)


def end_form(lot: StandingLot, reading: Reading) -> Form:
    say, week = reading.say, lot.last or lot.first
    last = Field("last", say("For the last time in week"), hint=say("Written like 2026-W34"))
    return Form(f"{WHERE}/{lot.number}/end", say("End it"), (last,), {"last": str(week)})


def weekday(number: int, reading: Reading) -> str:
    """0 is Monday."""
    return reading.weekday(A_MONDAY.replace(day=1 + number))


def standing_page(
    lots: Iterable[StandingLot], growers: Named, crops: Named, form: Form, reading: Reading
) -> StandingPage:
    """Those that still come first."""
    order = sorted(lots, key=lambda each: (each.last is not None, each.weekday, each.at))
    whose, called = dict(growers), dict(crops)
    return StandingPage(
        rows=tuple(
            StandingRow(
                name=name_of(each, called, reading),
                whose=whose[each.grower_id],
                when=f"{weekday(each.weekday, reading)}, {each.at:%H:%M}",
                weeks=_weeks(each, reading),
                end=Link(
                    reading.say("Change its last week") if each.last else reading.say("End it"),
                    f"{WHERE}/{each.number}/end",
                ),
            )
            for each in order
        ),
        form=form,
    )


def name_of(lot: StandingLot, crops: dict[str, str], reading: Reading) -> str:
    return f"{crops[lot.card_id]}, {reading.weight(lot.field_g)}"


def _weeks(lot: StandingLot, reading: Reading) -> str:
    if lot.last is None:
        return reading.say("from %(first)s on", first=str(lot.first))
    return reading.say("%(start)s to %(end)s", start=str(lot.first), end=str(lot.last))
