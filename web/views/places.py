"""The pages of one lot's place anew: the ways it has, another time, room for those who wait."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from api.records.notes import NoteEntry
from api.services.places import Offer, Ways
from scheduler.answer.again import Place
from scheduler.domain.clock import Week
from scheduler.domain.rules import TITLES
from web.views.form import Field, Form
from web.views.links import Link, week_link
from web.views.page import Page
from web.views.reading import N_, Reading

ADDRESS = "/places"
ROOM = "/waiting-list/room"
NONE = "none"
BROKEN = N_("The posted plan no longer holds by itself: the week is to be mended.")
SAYS = {
    "same": N_("It fits where it was"),
    "other run": N_("In another run"),
    "split": N_("Split"),
    "part": N_("In part; the rest stays cold and waits"),
}


@dataclass(frozen=True, slots=True)
class WayOf:
    """name: the kind, or whose it is. facts: a sentence for each charge. form: one press."""

    name: str
    facts: tuple[str, ...]
    form: Form


@dataclass(frozen=True, slots=True)
class PlacesPage(Page):
    """told: what is so. why: the planner's sentence, in English. ways: at most three. rest: what
    may be done if none of them is taken."""

    template: ClassVar[str] = "places.html"
    title: str
    about: str
    told: str
    decide: bool
    why: str
    rule: str
    ways: tuple[WayOf, ...]
    rest: Form | None
    form: Form | None
    links: tuple[Link, ...]


def place_address(note_id: str) -> str:
    return f"{ADDRESS}/{note_id}"


def later_address(note_id: str) -> str:
    return f"{place_address(note_id)}/later"


def places_page(
    found: Ways, reading: Reading, *, crop: str, later: datetime | None = None, mend: bool = False
) -> PlacesPage:
    """later: as if it came then; nothing is kept yet. mend: she may ask for the week to be
    mended."""
    entry, say = found.entry, reading.say
    return PlacesPage(
        title=f"{entry.id} {crop}, {reading.weight(entry.field_g)}",
        about=say("Comes at another time") if later else say("Its place"),
        told=_told(found, reading, later),
        decide=not found.holds,
        why=found.why,
        rule=_rule(found.rule, reading),
        ways=tuple(_ways(found, reading, later)),
        rest=_rest(found, reading, later),
        form=None,
        links=tuple(_links(entry, reading, mend=mend and not found.holds)),
    )


def _told(found: Ways, reading: Reading, later: datetime | None) -> str:
    say = reading.say
    if found.broken:
        return say(BROKEN)
    if found.holds:
        told = say("Its turn holds: nothing moves.")
    elif not found.places:
        told = say("It has no place without moving others.")
    elif found.places[0].kind == "same":
        told = say("It fits where it is, nobody else is moved.")
    else:
        told = say("It does not fit as it is planned. Each of these moves nobody else:")
    if later is None:
        return told
    begun = say("If it comes %(at)s:", at=reading.moment(later))
    return f"{begun} {told}"


def _rule(rule: int | None, reading: Reading) -> str:
    if rule is None:
        return ""
    title = reading.say(TITLES[rule])
    return reading.say("Rule %(number)s of the kitchen: %(title)s", number=rule, title=title)


def _ways(found: Ways, reading: Reading, later: datetime | None) -> Iterator[WayOf]:
    for place in found.places:
        button = reading.say("Take it")
        form = _press(found.entry, place.kind, button, later=later)
        yield WayOf(reading.say(SAYS[place.kind]), tuple(_facts(place, reading)), form)


def _press(entry: NoteEntry, kind: str, button: str, *, later: datetime | None) -> Form:
    """later: it is kept with that time."""
    said = {"kind": kind}
    if later is not None:
        said |= {"version": str(entry.version - 1), "arrives": later.isoformat()}
    where = f"{later_address(entry.id)}/keep" if later else place_address(entry.id)
    return Form(where, button, tuple(Field(name, "", "hidden") for name in said), said)


def _facts(place: Place, reading: Reading) -> Iterator[str]:
    for run, charge in place.charges():
        yield reading.say(
            "%(charge)s: %(racks)s racks in %(dryer)s, %(when)s",
            charge=charge.code,
            racks=charge.racks,
            dryer=run.dryer_id,
            when=reading.span(run.start, run.end),
        )
    if place.rest:
        yield reading.say("%(weight)s waits", weight=reading.weight(place.rest.field_g))


def _rest(found: Ways, reading: Reading, later: datetime | None) -> Form | None:
    """With the time kept all the same: where the turn holds, or where it has no place."""
    if later is None or (found.places and not found.holds):
        return None
    text = N_("Keep the time") if found.holds else N_("Keep the time; its turns end")
    return _press(found.entry, NONE, reading.say(text), later=later)


def _links(entry: NoteEntry, reading: Reading, *, mend: bool) -> Iterator[Link]:
    yield Link(reading.say("Open the note"), f"/harvest-notes/{entry.id}")
    yield Link(reading.say("Room for those who wait"), f"{ROOM}/{entry.week}")
    if mend:
        yield Link(reading.say("Re-lay the week"), f"/re-lay?week={entry.week}")


def later_form(entry: NoteEntry, reading: Reading) -> Form:
    at, say = reading.local(entry.arrives), reading.say
    fields = (
        Field("version", "", "hidden"),
        Field("day", say("Which day does it come?"), "date"),
        Field("at", say("At what time?"), "time"),
    )
    said = {"version": str(entry.version), "day": f"{at:%Y-%m-%d}", "at": f"{at:%H:%M}"}
    return Form(later_address(entry.id), say("What would it have?"), fields, said)


def later_page(entry: NoteEntry, form: Form, reading: Reading, *, crop: str) -> PlacesPage:
    """The form alone."""
    now = reading.say("It is told for %(at)s.", at=reading.moment(entry.arrives))
    return PlacesPage(
        title=f"{entry.id} {crop}, {reading.weight(entry.field_g)}",
        about=reading.say("Comes at another time"),
        told=now,
        decide=False,
        why="",
        rule="",
        ways=(),
        rest=None,
        form=form,
        links=tuple(_links(entry, reading, mend=False)),
    )


@dataclass(frozen=True, slots=True)
class RoomPage(Page):
    """Who waits and would have a place, in order of turn. none: why there are no rows."""

    template: ClassVar[str] = "room.html"
    week: Link
    rows: tuple[WayOf, ...]
    none: str
    mend: Link | None = None


def room_page(
    week: Week, found: Iterable[Offer], reading: Reading, *, names: dict[str, str]
) -> RoomPage:
    """names: crop and grower of each note."""
    rows = tuple(
        WayOf(
            reading.say(
                "Turn %(turn)s: %(note)s %(name)s, %(weight)s",
                turn=each.turn,
                note=each.entry.id,
                name=names[each.entry.id],
                weight=reading.weight(each.entry.field_g),
            ),
            tuple(_facts(each.place, reading)),
            _give(each, reading),
        )
        for each in found
    )
    none = reading.say("There is room for nobody who waits, without moving others.")
    return RoomPage(week_link(week), rows, none)


def broken_page(week: Week, reading: Reading, *, mend: bool) -> RoomPage:
    """No room is looked for in a plan that does not hold. mend: as for a place."""
    link = Link(reading.say("Re-lay the week"), f"/re-lay?week={week}") if mend else None
    return RoomPage(week_link(week), (), reading.say(BROKEN), link)


def _give(offer: Offer, reading: Reading) -> Form:
    said = {"kind": offer.place.kind, "to": "room"}
    fields = tuple(Field(name, "", "hidden") for name in said)
    button = reading.say("Give the place to %(note)s", note=offer.entry.id)
    return Form(place_address(offer.entry.id), button, fields, said)
