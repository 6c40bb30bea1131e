"""The pages "Dry check": what is due, and the readings of one lot with what they come to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar

from api.services.to_check import ToCheck
from scheduler.day_sheet.cautions import ALWAYS, AT_WORK
from scheduler.day_sheet.sampling import sample_count
from scheduler.day_sheet.sheet import Caution
from scheduler.process.dry_check import Counted
from scheduler.process.dry_check import Reading as RackReading
from web.views.form import Field, Form
from web.views.links import Link
from web.views.page import Page
from web.views.reading import N_, Reading

ADDRESS = "/dry-checks"
OTHER = "other"  # a rack besides those that were drawn
DECISIONS = {"pass": N_("Pass: it may be packed"), "hold": N_("Hold: do not pack it")}
RELEASE = (  # of the day sheet's cautions, where it is released
    N_(
        "It does not make food safe. Follow your process authority's letter and the local food "
        "code; a licensed person decides release."
    ),
)
NEXT_HELD = N_(
    "Do not pack it. Keep it closed and marked as held. What is next: back to a dryer, another "
    "reading, or discarded. After a second failure the manager decides."
)


@dataclass(frozen=True, slots=True)
class DueRow:
    """One lot in one run. state: why it is due. decide: it is held."""

    link: Link
    crop: str
    state: str
    decide: bool


@dataclass(frozen=True, slots=True)
class DryChecksPage(Page):
    template: ClassVar[str] = "dry_checks.html"
    rows: tuple[DueRow, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """What readings come to: every line of it, and whether it speaks for holding."""

    told: str
    over: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """What was counted or decided: title, the worst readings, what is next."""

    title: str
    findings: tuple[Finding, ...]
    next: str
    held: bool


@dataclass(frozen=True, slots=True)
class DryCheckPage(Page):
    """last: of the check before, None while there was none. counted: what the readings written in
    the form come to, once they were counted."""

    template: ClassVar[str] = "dry_check.html"
    title: str
    lot: str
    about: tuple[tuple[str, str], ...]
    form: Form
    count: str
    last: Outcome | None
    counted: Outcome | None
    cautions: tuple[Caution, ...]
    place: str
    back: Link
    who: str
    held: Link | None
    went_on: str


def held_address(code: str, run: int) -> str:
    return f"{address_of(code, run)}/held"


def address_of(code: str, run: int) -> str:
    return f"{ADDRESS}/{code}/{run}"


def dry_checks_page(found: Iterable[ToCheck], reading: Reading) -> DryChecksPage:
    return DryChecksPage(tuple(_due_row(each, reading) for each in found))


def _due_row(each: ToCheck, reading: Reading) -> DueRow:
    unloaded = reading.moment(each.run.unloaded or each.run.run.end)
    held = each.last is not None
    text = N_("held, unloaded %(at)s") if held else N_("unloaded %(at)s")
    return DueRow(
        link=Link(each.lot.code, address_of(each.lot.code, each.run.number)),
        crop=f"{each.card.name}, {each.grower.farm}",
        state=f"{each.run.run.dryer_id}, {reading.say(text, at=unloaded)}",
        decide=held,
    )


def dry_check_page(
    found: ToCheck, reading: Reading, *, form: Form, who: str, counted: Outcome | None = None
) -> DryCheckPage:
    return DryCheckPage(
        title=reading.say("Dry check"),
        lot=found.lot.code,
        about=tuple(_about(found, reading)),
        form=form,
        count=reading.say("Count the readings"),
        last=_last(found, reading),
        counted=counted,
        cautions=(AT_WORK["dry check"], ALWAYS[0]),
        place=f"check-{found.lot.code}-{found.run.number}",
        back=Link(reading.say("All dry checks that are due"), ADDRESS),
        who=who,
        held=_held(found, reading),
        went_on=_went_on(found, reading),
    )


def _held(found: ToCheck, reading: Reading) -> Link | None:
    """Where it is put right."""
    where = held_address(found.lot.code, found.run.number)
    return Link(reading.say("What is done with it"), where) if found.is_held else None


def _went_on(found: ToCheck, reading: Reading) -> str:
    if found.went_on is None:
        return ""
    run = found.went_on.run
    return reading.say(
        "Its racks dry on in %(dryer)s since %(at)s: they are read when they are out again.",
        dryer=run.dryer_id,
        at=reading.moment(run.start),
    )


def _about(found: ToCheck, reading: Reading) -> Iterator[tuple[str, str]]:
    say, limits = reading.say, found.card.dry_check
    yield say("crop"), f"{found.card.name}, {found.grower.farm}"
    yield say("dryer"), found.run.run.dryer_id
    if found.run.unloaded:
        yield say("unloaded"), reading.moment(found.run.unloaded)
        yield say("packed at the latest"), reading.moment(_pack_by(found, found.run.unloaded))
    yield say("water activity at most"), _activity(limits.most_water_activity, reading)
    yield say("moisture at most"), _percent(limits.most_moisture_percent, reading)


def _pack_by(found: ToCheck, unloaded: datetime) -> datetime:
    """Before it takes up water again: the card's limit."""
    return unloaded + timedelta(seconds=found.card.pack_within_s)


def _activity(value: float, reading: Reading) -> str:
    return reading.number(value, 3)


def _percent(value: float, reading: Reading) -> str:
    return f"{reading.number(value, 1)} %"


def check_form(found: ToCheck, reading: Reading, decided_by: str) -> Form:
    """Two readings for each rack that was drawn, two for one more, the decision and whose it is."""
    say = reading.say
    racks = [each for rack in found.racks for each in _rack_fields(str(rack), reading)]
    other = Field(f"rack-{OTHER}", say("One more rack: its number"), "whole", needed=False)
    options = tuple((value, say(text)) for value, text in DECISIONS.items())
    return Form(
        address_of(found.lot.code, found.run.number),
        say("Keep the decision"),
        (
            Field("version", "", "hidden"),
            Field("pressed", "", "hidden"),
            *racks,
            other,
            *_rack_fields(OTHER, reading),
            Field("decision", say("Decision"), "few", options=options),
            Field("decided_by", say("Who decides"), more={"autocomplete": "off"}),
        ),
        {"version": str(found.lot.version), "decided_by": decided_by},
    )


def _rack_fields(rack: str, reading: Reading) -> tuple[Field, Field]:
    of = {} if rack == OTHER else {"rack": rack}
    activity = N_("Rack %(rack)s: water activity") if of else N_("Its water activity")
    moisture = N_("Rack %(rack)s: moisture") if of else N_("Its moisture")
    needed = bool(of)
    return (
        Field(f"activity-{rack}", reading.say(activity, **of), "decimal", needed=needed),
        Field(f"moisture-{rack}", reading.say(moisture, **of), "decimal", unit="%", needed=needed),
    )


def counted_outcome(
    found: ToCheck, reading: Reading, *, readings: tuple[RackReading, ...], come_to: Counted
) -> Outcome:
    """What the readings that are written in come to, before anything is decided."""
    held = come_to.decision == "hold"
    title = N_("The readings speak for holding it") if held else N_("Within the card's limits")
    told = N_("The person named may hold it all the same.")
    return Outcome(
        title=reading.say(title),
        findings=_findings(found, reading, readings),
        next=reading.say(NEXT_HELD if held else told),
        held=held,
    )


def _last(found: ToCheck, reading: Reading) -> Outcome | None:
    """What was decided last, and what is next."""
    if found.last is None:
        return None
    told = found.last.told
    held = told["decision"] == "hold"
    named = {"who": told["decided_by"], "at": reading.moment(found.last.at.replace(second=0))}
    title = N_("Held by %(who)s, %(at)s") if held else N_("Passed by %(who)s, %(at)s")
    readings = tuple(RackReading(**each) for each in told["readings"])
    return Outcome(
        title=reading.say(title, **named),
        findings=_findings(found, reading, readings),
        next=reading.say(NEXT_HELD) if held else _next_passed(found, reading),
        held=held,
    )


def _next_passed(found: ToCheck, reading: Reading) -> str:
    if found.lot.state == "packed":
        return reading.say("Packed.")
    if found.lot.state != "passed":
        return reading.say("Its other racks are still to be checked before it is packed.")
    by = reading.moment(_pack_by(found, found.run.unloaded or found.run.run.end))
    return reading.say("It can be packed: by %(at)s, before it takes up water again.", at=by)


def _findings(
    found: ToCheck, reading: Reading, readings: tuple[RackReading, ...]
) -> tuple[Finding, ...]:
    """How many were read of how many, and the worst of each kind against the card: it decides."""
    say, limits = reading.say, found.card.dry_check
    wettest = max(readings, key=lambda each: each.water_activity)
    moistest = max(readings, key=lambda each: each.moisture_percent)
    wanted, read = _wanted(found), len({each.rack for each in readings})
    return (
        Finding(
            say(
                "Racks read: %(read)s, wanted: %(wanted)s",
                read=reading.number(read),
                wanted=reading.number(wanted),
            ),
            read < wanted,
        ),
        Finding(
            say(
                "Highest water activity: rack %(rack)s, %(value)s (at most %(limit)s)",
                rack=wettest.rack,
                value=_activity(wettest.water_activity, reading),
                limit=_activity(limits.most_water_activity, reading),
            ),
            wettest.water_activity > limits.most_water_activity,
        ),
        Finding(
            say(
                "Highest moisture: rack %(rack)s, %(value)s (at most %(limit)s)",
                rack=moistest.rack,
                value=_percent(moistest.moisture_percent, reading),
                limit=_percent(limits.most_moisture_percent, reading),
            ),
            moistest.moisture_percent > limits.most_moisture_percent,
        ),
    )


def _wanted(found: ToCheck) -> int:
    return sample_count(found.run.racks_of(found.lot.note_id))
