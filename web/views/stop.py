"""What the page "Dryer down" shows of one stop, and the forms for down and up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar

from api.records.happened import OutageEntry
from api.services.night import Night
from api.services.night_log import NightLog
from scheduler.day_sheet.cautions import STOPPED
from scheduler.day_sheet.sheet import Caution
from scheduler.domain.kitchen import Kitchen
from scheduler.dryer_down import WARM_C, InDryer, Inside, Keeps, in_cold_store, inside, waiting_for
from web.views.emergency import EmergencyShown
from web.views.form import Field, Form
from web.views.links import Link
from web.views.night import DOWN, Call, calls, lot_label, room_told, stop_address
from web.views.night_log import LogShown
from web.views.page import Page
from web.views.reading import Reading

COMING = timedelta(hours=36)  # so far ahead the next lots of a stopped dryer are told
NAMES = {"station_id": "station", "stopped": "at", "back": "at"}


@dataclass(frozen=True, slots=True)
class StoppedLot:
    """A lot in the stopped dryer. clock: until when it can wait. more: sentences. rooms: where it
    could go."""

    label: str
    clock: str
    left: str
    more: tuple[str, ...]
    rooms: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StopPage(Page):
    """One stop: what is inside and whose, how long it can wait, where it could go, whom to ring.

    dryer: it is one. seen: the lots may be read. waiting: lots that wait for it, or stand in the
    cold store, a sentence each.
    """

    template: ClassVar[str] = "dryer_down.html"
    title: str
    when: str
    cause: str
    back: str
    dryer: bool
    seen: bool
    inside: tuple[StoppedLot, ...]
    waits: str
    waiting: tuple[str, ...]
    calls: tuple[Call, ...]
    cautions: tuple[Caution, ...]
    form: Form | None
    log: LogShown | None = None
    mend: Link | None = None
    emergency: EmergencyShown | None = None


def station_names(kitchen: Kitchen) -> tuple[tuple[str, str], ...]:
    """Id, and id with name, of all that can stop."""
    kinds = (
        kitchen.dryers, (kitchen.cold_store,), kitchen.steamers, kitchen.chill_tubs,
        kitchen.wash_lines, kitchen.tables, kitchen.benches, kitchen.freezers, kitchen.meters,
    )  # fmt: skip
    return tuple((each.id, f"{each.id} {each.name}") for kind in kinds for each in kind)


def stop_page(log: NightLog, night: Night | None, reading: Reading, *, may_mend: bool) -> StopPage:
    """night: the house as it stood when it stopped; None where she may not read it."""
    entry, now = log.stop, log.at
    over = entry.back is not None and entry.back <= now
    names = dict(station_names(night.kitchen)) if night else {}
    name = names.get(entry.station_id, entry.station_id)
    dryer = night is not None and entry.station_id in {each.id for each in night.kitchen.dryers}
    cold = night is not None and entry.station_id == night.kitchen.cold_store.id
    return StopPage(
        title=reading.say("%(station)s was down", station=name)
        if over
        else reading.say("%(station)s is down", station=name),
        when=reading.moment(entry.stopped),
        cause=entry.cause,
        back=reading.moment(entry.back) if entry.back else "",
        dryer=dryer,
        seen=night is not None,
        inside=tuple(_inside(night, reading, log)) if night else (),
        waits=reading.say("In the cold store") if cold else reading.say("Waiting for it"),
        waiting=tuple(_waiting(entry, night, reading)) if night else (),
        calls=calls(night.contacts, reading) if night else (),
        cautions=STOPPED if dryer or cold else (STOPPED[0], STOPPED[2]),
        form=up_form(entry, reading) if may_mend and not over else None,
    )


def _inside(night: Night, reading: Reading, log: NightLog) -> Iterator[StoppedLot]:
    entry, now = log.stop, log.at
    stood = {each.code: each.stood_s for each in log.clocks if each.is_part_lot}
    over = entry.back is not None and entry.back <= now
    holding = [
        each
        for each in night.standing
        if each.run.dryer_id == entry.station_id and each.holds(night.at)
    ]
    found = inside(
        night.standing,
        entry.station_id,
        night.at,
        down=night.stopped,
        now=None if over else now,
    )
    owners = [own for own in holding for _ in own.run.charges]
    for own, each in zip(owners, found, strict=True):
        known = stood.get(each.charge.code)
        yield _lot(own, each if known is None else each.having_stood(known), reading, now=now)


def _lot(own: InDryer, each: Inside, reading: Reading, *, now: datetime) -> StoppedLot:
    say, card_s = reading.say, each.card.drying_s
    more: tuple[str, ...]
    if each.ask_by is None:
        clock, left = say("Its drying hours are over: leave it closed."), ""
        more = (say("The dry check decides what is next."),)
    else:
        wait = int((each.ask_by - now).total_seconds())
        clock = say("Ask the manager by %(at)s.", at=reading.moment(each.ask_by))
        left = say("%(long)s from now", long=reading.duration(wait)) if wait > 0 else say("ask now")
        more = (
            say(
                "%(left)s of its %(all)s in a dryer are left.",
                left=reading.duration(each.left_s),
                all=reading.duration(card_s),
            ),
            _stood(each, reading),
        )
    rooms = tuple(room_told(room, reading) for room in each.rooms)
    return StoppedLot(lot_label(own, each.charge, reading), clock, left, more, rooms)


def _stood(each: Inside, reading: Reading) -> str:
    if each.stood_s is None:
        return reading.say(
            "How long it stood cut before its run is not known: %(long)s, the longest that it may"
            " have stood, is taken off the four hours.",
            long=reading.duration(each.stood_most_s),
        )
    if each.part_lot:
        return reading.say(
            "It has stood warm for %(long)s before: that is taken off the four hours.",
            long=reading.duration(each.stood_s),
        )
    return reading.say(
        "As planned it stood cut for %(long)s before its run: that is taken off the four hours.",
        long=reading.duration(each.stood_s),
    )


def _waiting(entry: OutageEntry, night: Night, reading: Reading) -> Iterator[str]:
    if entry.station_id == night.kitchen.cold_store.id:
        for keeps in in_cold_store(night.standing, night.at):
            yield _keeps(keeps, reading, warm=True)
    for own, lots in waiting_for(night.standing, entry.station_id, night.at, within=COMING):
        for keeps in lots:
            start = reading.moment(own.run.start)
            told = reading.say("run of %(at)s: %(lot)s", at=start, lot=_keeps(keeps, reading))
            yield told


def _keeps(keeps: Keeps, reading: Reading, *, warm: bool = False) -> str:
    lot = f"{keeps.note.id} {keeps.card.name}, {reading.weight(keeps.note.field_g)}"
    until = reading.moment(keeps.until)
    if not warm:
        return reading.say("%(lot)s, keeps whole until %(at)s", lot=lot, at=until)
    return reading.say(
        "%(lot)s: in the cold until %(cold)s, at %(degrees)s only until about %(warm)s",
        lot=lot,
        cold=until,
        degrees=reading.temperature(WARM_C),
        warm=reading.moment(keeps.warm_until.replace(second=0)),
    )


def down_form(kitchen: Kitchen, reading: Reading, *, now: datetime, station: str = "") -> Form:
    """Any station, now or earlier."""
    local, say = reading.local(now), reading.say
    fields = (
        Field("station", say("What stopped?"), "choice", options=station_names(kitchen)),
        Field("day", say("Day"), "date"),
        Field("at", say("When?"), "time"),
        Field("cause", say("Cause"), hint=say("What it looks like; no names."), needed=False),
    )
    said = {"station": station, "day": f"{local:%Y-%m-%d}", "at": f"{local:%H:%M}"}
    return Form(DOWN, say("Down"), fields, said, danger=True)


def up_form(entry: OutageEntry, reading: Reading) -> Form:
    """Back now; another day and hour are folded away."""
    say = reading.say
    hint = say("Empty: now. It may lie ahead, where that is known.")
    fields = (
        Field("version", "", "hidden"),
        Field("day", say("Day"), "date", hint=hint, needed=False, folded=True),
        Field("at", say("When?"), "time", needed=False, folded=True),
    )
    action = f"{stop_address(entry.number)}/up"
    return Form(action, say("Up"), fields, {"version": str(entry.version)})
