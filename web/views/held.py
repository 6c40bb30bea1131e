"""The page of a held lot: hours more, where it can dry on, discarding it, the record of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from api.services.corrective import Corrective
from api.services.held import Held, is_later
from api.services.night import Contact
from scheduler.back_to_dryer import Way
from scheduler.units import MINUTE
from web.views.dry_check import address_of, held_address
from web.views.form import Field, Form
from web.views.links import Link
from web.views.night import Call, calls
from web.views.page import Page
from web.views.reading import N_, Reading

WHY = {
    "down": N_("it is down"),
    "group": N_("it does not take this group"),
    "set point": N_("the set point is not in its range"),
    "racks": N_("it has too few racks"),
    "next run": N_("it would not be out before its next run"),
    "night end": N_("it would end too long before the kitchen opens"),
    "closed": N_("the kitchen is closed"),
}
ASKED = {  # field of the record: what is asked, and a hint
    "what_happened": (N_("What happened"), ""),
    "cause": (N_("Cause"), N_("As far as it is known.")),
    "product": (N_("What was done with it"), N_("Back to a dryer, read again, or discarded.")),
    "done_by": (N_("Who did it"), ""),
    "verified_by": (N_("Who looked whether it is right"), ""),
}


@dataclass(frozen=True, slots=True)
class WayShown:
    """told: the dryer, from when to when. more: what to mind. form: None where something is in the
    way, it is for later, or somebody else decides."""

    told: str
    more: str
    form: Form | None


@dataclass(frozen=True, slots=True)
class HeldPage(Page):
    """held: None once it is put right. decides: whom to ring, where the manager must decide.
    record: what stands in it, once it is closed."""

    template: ClassVar[str] = "held.html"
    title: str
    lot: str
    hours: str
    ways: tuple[WayShown, ...]
    decides: str
    calls: tuple[Call, ...]
    discard: Form | None
    record_told: str
    record: tuple[tuple[str, str], ...]
    form: Form | None
    back: Link


@dataclass(frozen=True, slots=True)
class Asking:
    """Who looks at it, and when: may she decide, and whom can she ring?"""

    at: datetime
    manager: bool
    contacts: tuple[Contact, ...]


def held_page(
    held: Held | None, record: Corrective, run: int, reading: Reading, *, asking: Asking
) -> HeldPage:
    code, say = record.lot.code, reading.say
    may = held is not None and (asking.manager or not held.manager_decides)
    decides = held is not None and not may
    managers = tuple(each for each in asking.contacts if each.manager)
    return HeldPage(
        title=say("Held after its dry check") if held else say("Corrective action"),
        lot=code,
        hours=_hours(held, reading) if held else "",
        ways=tuple(_ways(held, reading, may=may, asking=asking)) if held else (),
        decides=say("It failed a second dry check: the manager decides.") if decides else "",
        calls=calls(managers, reading) if decides else (),
        discard=discard_form(held, run, reading) if held and may else None,
        record_told=_record_told(record, reading),
        record=tuple(_record(record, reading)) if record.closed else (),
        form=None if record.closed else record_form(record, run, reading),
        back=Link(say("Its readings"), address_of(code, run)),
    )


def _hours(held: Held, reading: Reading) -> str:
    hours = held.hours
    if hours is None:
        return reading.say(
            "Its readings are within the card's limits: no more hours follow from them. Read it"
            " again."
        )
    return reading.say(
        "From its worst readings it needs about %(likely)s more at %(point)s: from %(low)s to"
        " %(high)s, as crops differ.",
        likely=reading.duration(held.dries_s),
        point=reading.temperature(held.run.run.set_point_c),
        low=reading.duration(_to_ten_minutes(hours.low)),
        high=reading.duration(_to_ten_minutes(hours.high)),
    )


def _to_ten_minutes(hours: float) -> int:
    """In seconds."""
    return round(hours * 6) * 10 * MINUTE


def _ways(held: Held, reading: Reading, *, may: bool, asking: Asking) -> Iterator[WayShown]:
    for way in held.ways:
        if way.why:
            why = reading.say(WHY[way.why])
            told = reading.say("not to %(dryer)s: %(why)s", dryer=way.dryer.id, why=why)
            yield WayShown(told, "", None)
        else:
            told = reading.say(
                "%(dryer)s, %(racks)s racks: %(when)s",
                dryer=way.dryer.id,
                racks=way.racks,
                when=reading.span(way.start, way.end),
            )
            now = may and not is_later(way, asking.at)
            form = back_form(held, way, reading) if now else None
            yield WayShown(told, _more(way, reading), form)


def _more(way: Way, reading: Reading) -> str:
    more = [reading.say("A wash-down first.")] if way.wash_down else []
    if way.stretched:
        more += [reading.say("It dries for longer, so that its cool hold is not too long.")]
    if way.until:
        more += [reading.say("Next run here: %(at)s.", at=reading.moment(way.until))]
    return " ".join(more)


def back_form(held: Held, way: Way, reading: Reading) -> Form:
    """One press: it dries on there."""
    hidden = {"version": str(held.lot.version), "dryer": way.dryer.id}
    fields = tuple(Field(name, "", "hidden") for name in hidden)
    where = f"{held_address(held.lot.code, held.run.number)}/back"
    button = reading.say("Back to dryer %(dryer)s", dryer=way.dryer.id)
    return Form(where, button, fields, hidden)


def discard_form(held: Held, run: int, reading: Reading) -> Form:
    fields = (Field("version", "", "hidden"), Field("why", reading.say("Cause")))
    said = {"version": str(held.lot.version)}
    where = f"{held_address(held.lot.code, run)}/discard"
    return Form(where, reading.say("Discard"), fields, said, danger=True)


def _record_told(record: Corrective, reading: Reading) -> str:
    opened = {"who": record.decided_by, "at": reading.moment(record.opened.replace(second=0))}
    if record.closed is None:
        return reading.say("Open since %(at)s, held by %(who)s.", **opened)
    return reading.say("Closed %(at)s.", at=reading.moment(record.closed.replace(second=0)))


def _record(record: Corrective, reading: Reading) -> Iterator[tuple[str, str]]:
    for name, (label, _) in ASKED.items():
        yield reading.say(label), record.said[name]


def record_form(record: Corrective, run: int, reading: Reading) -> Form:
    """Kept as far as it is, or closed."""
    fields = tuple(
        Field(
            name,
            reading.say(label),
            "text" if name in ("done_by", "verified_by") else "long",
            hint=reading.say(hint) if hint else "",
            more={"autocomplete": "off"},
        )
        for name, (label, hint) in ASKED.items()
    )
    where = f"{held_address(record.lot.code, run)}/record"
    return Form(where, reading.say("Keep it as it is so far"), fields, dict(record.said))


def as_told(packing: str, reading: Reading) -> str:
    """What became of the packing turn, once it is back in a dryer."""
    return reading.say(_BECAME[packing])


_BECAME = {
    "none": N_("Back in a dryer. Its grower is told."),
    "stays": N_("Back in a dryer. Its packing turn stays; its grower is told."),
    "moved": N_("Back in a dryer. Its packing turn is moved; its grower is told."),
    "called off": N_("Back in a dryer. Its packing turn is called off; its grower is told."),
}
