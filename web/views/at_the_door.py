"""The page "At the door": who is expected, the true weight, and what that means."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from api.services.at_the_door import Expected, Weighed
from scheduler.day_sheet.sheet import LotLabel
from scheduler.units import Grams
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.places import place_address
from web.views.plain import FormPage
from web.views.reading import Reading
from web.views.tick_forms import FOR_GOOD, OPENS, Press, name_of

ADDRESS = "/at-the-door"


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a true weight comes to. decide: the manager must hear of it."""

    told: str
    decide: bool


@dataclass(frozen=True, slots=True)
class DoorRow:
    """One note. done: by whom and when, "" while it is not here. facts: as noted."""

    id: str
    act: str
    time: str
    lots: tuple[LotLabel, ...]
    facts: tuple[str, ...]
    who: str
    papers_short: tuple[str, ...]
    done: str
    told: str
    meaning: Meaning | None
    press: Press | None
    place: Link | None


@dataclass(frozen=True, slots=True)
class AtTheDoorPage(Page):
    """rows: of the day, and whoever else came on it; others: of the rest of its week that are not
    here yet."""

    template: ClassVar[str] = "at_the_door.html"
    day: date
    today: bool
    days: tuple[Link, ...]
    rows: tuple[DoorRow, ...]
    others: tuple[DoorRow, ...]
    why_not: str
    who: str
    for_good: str


def at_the_door_page(
    found: Iterable[Expected],
    reading: Reading,
    *,
    day: date,
    today: date,
    who: str,
    days: tuple[Link, ...],
) -> AtTheDoorPage:
    """who: "" where nobody has logged in, without which nothing is weighed in."""
    every = list(found)
    rows = {each.entry.id: _row(each, reading, day=day, may=bool(who)) for each in every}
    of_day = [each for each in every if day in _days_of(each, reading)]
    others = [each for each in every if each not in of_day and each.lot is None]
    return AtTheDoorPage(
        day=day,
        today=day == today,
        days=days,
        rows=tuple(rows[each.entry.id] for each in of_day),
        others=tuple(rows[each.entry.id] for each in others),
        why_not="" if who else reading.say("Log in to tick off what is done."),
        who=who,
        for_good=reading.say(FOR_GOOD),
    )


def _days_of(each: Expected, reading: Reading) -> set[date]:
    """When it is expected and, once it is here, when it was weighed in."""
    moments = [each.entry.arrives, *([each.lot.at] if each.lot else [])]
    return {reading.local(at).date() for at in moments}


def row_id(note_id: str) -> str:
    return f"note-{note_id}"


def _row(each: Expected, reading: Reading, *, day: date, may: bool) -> DoorRow:
    entry, grower = each.entry, each.grower
    weighed = each.weighed
    return DoorRow(
        id=row_id(entry.id),
        act=reading.say(OPENS["weigh in"][0]),
        time=reading.clock_from(entry.arrives, day),
        lots=(LotLabel(entry.id, each.card.name, grower.farm, grower.name),),
        facts=tuple(_facts(each, reading)),
        who=grower.name,
        papers_short=each.papers_short,
        done=name_of(each.done, reading, day),
        told=reading.say(
            "%(weight)s, lot %(code)s", weight=reading.weight(weighed.weighed_g), code=each.lot.code
        )
        if weighed and each.lot
        else "",
        meaning=meaning_of(weighed, reading) if weighed else None,
        press=None if each.lot or not may else Press(*_opening(each, reading, day)),
        place=_place(each, reading) if may else None,
    )


def _place(each: Expected, reading: Reading) -> Link | None:
    """Where its place is looked for anew, while it is whole and weighed otherwise than noted."""
    weighed = each.weighed
    if weighed is None or each.lot is None or each.lot.state != "raw":
        return None
    if weighed.weighed_g == weighed.asked_g:
        return None
    return Link(reading.say("Its place"), place_address(each.entry.id))


def _facts(each: Expected, reading: Reading) -> Iterable[str]:
    yield reading.say("noted as %(weight)s", weight=reading.weight(each.entry.field_g))
    if each.card.waits_outside_cold:
        yield reading.say("may wait outside the cold store")
    else:
        yield reading.say("into the cold store")
    if each.entry.remark:
        yield each.entry.remark


def _opening(each: Expected, reading: Reading, day: date) -> tuple[Form, str]:
    summary, _ = OPENS["weigh in"]
    return door_form(each.entry.id, reading, day), reading.say(summary)


def door_form(note_id: str, reading: Reading, day: date) -> Form:
    fields = (
        Field("note", "", "hidden"),
        Field("pressed", "", "hidden"),
        Field("weight", reading.say("True weight"), "decimal", unit=reading.weight_unit),
    )
    _, button = OPENS["weigh in"]
    return Form(f"{ADDRESS}/{day}", reading.say(button), fields, {"note": note_id})


def door_form_page(form: Form, reading: Reading) -> FormPage:
    """The form of one note by itself."""
    summary, _ = OPENS["weigh in"]
    title = f"{reading.say(summary)}: {form.said.get('note', '')}"
    return FormPage(title, reading.say(FOR_GOOD), form)


def meaning_of(weighed: Weighed, reading: Reading) -> Meaning:
    """What its weight means for the racks that are planned for it."""
    say, more = reading.say, weighed.needed - weighed.planned
    racks = {"needed": reading.number(weighed.needed), "planned": reading.number(weighed.planned)}
    against = _against(weighed, reading)
    if not weighed.planned:
        told = say("It has no place in the posted plan: the manager decides.")
        return Meaning(f"{against} {told}", decide=True)
    if more > 0 and weighed.fits:
        told = say(
            "It needs %(needed)s racks, %(planned)s are planned. Its run has room for them: tell "
            "the manager before it starts.",
            **racks,
        )
    elif more > 0:
        told = say(
            "It needs %(needed)s racks, %(planned)s are planned, and its run has no room for them "
            "all. Tell the manager before it is washed.",
            **racks,
        )
    elif more < 0:
        told = say("It needs %(needed)s racks of the %(planned)s that are planned.", **racks)
    else:
        told = say("The %(planned)s racks planned are right for it.", **racks)
    return Meaning(f"{against} {told}", decide=more > 0)


def _against(weighed: Weighed, reading: Reading) -> str:
    """ "6 kg more than noted." """
    more = weighed.weighed_g - weighed.asked_g
    if more == 0:
        return reading.say("As noted.")
    weight = reading.weight(Grams(abs(more)))
    if more > 0:
        return reading.say("%(weight)s more than noted.", weight=weight)
    return reading.say("%(weight)s less than noted.", weight=weight)
