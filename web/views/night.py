"""What the page "Night sheet" shows: whom to ring, and each dryer as it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from api.services.night import Contact, Night
from scheduler.day_sheet.cautions import NIGHT, STOPPED
from scheduler.day_sheet.sheet import Caution
from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Charge
from scheduler.dryer_down import InDryer, Inside, Room, inside, next_in
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading

ADDRESS = "/night-sheet"
DOWN = f"{ADDRESS}/down"
HINDRANCES = {
    "down": N_("it is down"),
    "group": N_("it does not take this group"),
    "set point": N_("the set point is not in its range"),
    "in use": N_("in use; as planned free %(free)s"),
}


@dataclass(frozen=True, slots=True)
class Call:
    """Somebody to ring. href: "" where the book knows no number."""

    name: str
    what: str
    telephone: str
    href: str


@dataclass(frozen=True, slots=True)
class DryerCard:
    """One dryer tonight. state: in a word. facts: sentences. rooms: where its racks could go.

    form: "Down" at one press, None where it is down or she may not. stop: the page of its stop.
    """

    id: str
    name: str
    state: str
    decide: bool
    facts: tuple[str, ...]
    lots: tuple[str, ...]
    rooms: tuple[str, ...]
    form: Form | None
    stop: Link | None


@dataclass(frozen=True, slots=True)
class NightPage(Page):
    """Night sheet: whom to ring, dryer by dryer, what else is down, what to mind."""

    template: ClassVar[str] = "night.html"
    title: str
    hours: str
    now: str
    calls: tuple[Call, ...]
    dryers: tuple[DryerCard, ...]
    others_down: tuple[Link, ...]
    other: Link | None
    cautions: tuple[Caution, ...]
    due: tuple[str, ...] = ()  # clocks of exposure that run, or are over


def night_page(night: Night, reading: Reading, *, may_stop: bool) -> NightPage:
    dryers = {each.id for each in night.kitchen.dryers}
    hours = night.hours
    evening = hours.start if hours else night.at
    return NightPage(
        title=reading.day(max(evening, night.at) if hours and hours.holds(night.at) else evening),
        hours=reading.span(hours.start, hours.end) if hours else "",
        now=reading.moment(night.at),
        calls=calls(night.contacts, reading),
        dryers=tuple(_dryer(night, each, reading, may_stop) for each in night.kitchen.dryers),
        others_down=tuple(
            Link(stopped_since(each.station_id, each.stopped, reading), stop_address(each.number))
            for each in night.down
            if each.station_id not in dryers
        ),
        other=Link(reading.say("Another station stopped, or some time ago"), DOWN)
        if may_stop
        else None,
        cautions=(STOPPED[0], NIGHT),
    )


def stop_address(number: int) -> str:
    return f"{ADDRESS}/stopped/{number}"


def stopped_since(station_id: str, stopped: datetime, reading: Reading) -> str:
    return reading.say(
        "%(station)s, down since %(when)s", station=station_id, when=reading.moment(stopped)
    )


def calls(contacts: tuple[Contact, ...], reading: Reading) -> tuple[Call, ...]:
    return tuple(_call(each, reading) for each in contacts)


def _call(contact: Contact, reading: Reading) -> Call:
    what = [reading.say("on call tonight")] * contact.tonight
    what += [reading.say("manager")] * contact.manager
    number = "".join(each for each in contact.telephone if each.isdigit() or each == "+")
    return Call(
        name=contact.name,
        what=reading.listed(what) if what else reading.say("on call on another night"),
        telephone=contact.telephone or reading.say("no number in the book"),
        href=f"tel:{number}" if number else "",
    )


def _dryer(night: Night, dryer: Dryer, reading: Reading, may_stop: bool) -> DryerCard:
    own = next((each for each in night.standing if _is_in(each, dryer, night.at)), None)
    outage = next((each for each in night.down if each.station_id == dryer.id), None)
    found = inside(night.standing, dryer.id, night.at, down=night.stopped)
    button = may_stop and outage is None
    return DryerCard(
        id=dryer.id,
        name=dryer.name,
        state=reading.say("down") if outage else _state(own, night.at, reading),
        decide=outage is not None,
        facts=tuple(_facts(night, dryer, own, reading)),
        lots=tuple(lot_label(own, each.charge, reading) for each in found) if own else (),
        rooms=tuple(_rooms(found, reading)) if not outage else (),
        form=down_now(dryer.id, reading) if button else None,
        stop=Link(stopped_since(dryer.id, outage.stopped, reading), stop_address(outage.number))
        if outage
        else None,
    )


def _is_in(each: InDryer, dryer: Dryer, at: datetime) -> bool:
    return each.run.dryer_id == dryer.id and each.holds(at)


def _state(own: InDryer | None, at: datetime, reading: Reading) -> str:
    if own is None:
        return reading.say("empty")
    if at < own.run.end:
        return reading.say("drying")
    return reading.say("cool hold") if at < own.run.released else reading.say("to unload")


def _facts(night: Night, dryer: Dryer, own: InDryer | None, reading: Reading) -> Iterator[str]:
    say = reading.say
    if own is not None:
        run = own.run
        values = {
            "point": reading.temperature(run.set_point_c),
            "start": reading.moment(run.start),
            "end": reading.moment(run.end),
        }
        yield say("%(point)s; started %(start)s, ends %(end)s.", **values)
        if run.released > run.end:
            yield say("Then cool hold until %(at)s.", at=reading.moment(run.released))
        yield _known(own, reading)
    coming = next_in(night.standing, dryer.id, night.at)
    if coming is not None:
        yield say("Next run here: %(at)s.", at=reading.moment(coming.run.start))


def _known(own: InDryer, reading: Reading) -> str:
    """How sure that is."""
    if own.on_record:
        return reading.say("On record.")
    if own.posted:
        return reading.say("As planned; nobody has written it down.")
    return reading.say("As pencilled, not posted; nobody has written it down.")


def lot_label(own: InDryer, charge: Charge, reading: Reading) -> str:
    grower = own.asked.grower(own.note(charge).grower_id)
    last = charge.first_rack + charge.racks - 1
    return reading.say(
        "%(lot)s, %(farm)s (%(grower)s): racks %(first)s to %(last)s",
        lot=f"{charge.code} {own.card(charge).name}",
        farm=grower.farm,
        grower=grower.name,
        first=charge.first_rack,
        last=last,
    )


def _rooms(found: tuple[Inside, ...], reading: Reading) -> Iterator[str]:
    for each in found:
        for room in each.rooms:
            yield f"{each.charge.code}: {room_told(room, reading)}"


def room_told(room: Room, reading: Reading) -> str:
    """Whether racks could go there, and what is in the way."""
    say, name = reading.say, room.dryer.id
    if room.hindrance:
        free = reading.moment(room.free_from) if room.free_from else ""
        why = say(HINDRANCES[room.hindrance], free=free)
        return say("not to %(dryer)s: %(why)s", dryer=name, why=why)
    told = say(
        "could go to %(dryer)s, which is empty: %(some)s of %(racks)s racks there",
        dryer=name,
        some=min(room.racks, room.dryer.racks),
        racks=room.racks,
    )
    if room.wash_down:
        told = say("%(what)s, after a wash-down", what=told)
    if room.until:
        until = reading.moment(room.until)
        return say("%(what)s; its next run starts %(at)s", what=told, at=until)
    return told


def down_now(station_id: str, reading: Reading) -> Form:
    """One press: it stopped just now."""
    station = (Field("station", "", "hidden"),)
    return Form(DOWN, reading.say("Down"), station, {"station": station_id}, danger=True)
