"""The night log on the page of a stop: the clock of each part-lot, a line more, a decision."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from api.services.night_lines import parts_inside
from api.services.night_log import SEEN, Entry, NightLog, PartClock
from scheduler.process.exposure import MOST_EXPOSED
from web.views.form import Field, Form
from web.views.night import stop_address
from web.views.reading import N_, Reading

SAYS = {
    "noted": N_("noted"),
    "into the cold": N_("into the cold"),
    "back to dryer": N_("back to dryer"),
    "out in the warm": N_("out in the warm"),
    "found warm": N_("found warm"),
    "decided": N_("decided"),
}


@dataclass(frozen=True, slots=True)
class ClockShown:
    """told: how long it stood warm. more: until when, or what was decided. asks: a named person
    must decide; form: for that. inside: its dryer is up again and nobody moved it; says since when
    it dries on there."""

    part: str
    told: str
    more: str
    asks: bool
    form: Form | None
    inside: Form | None = None


@dataclass(frozen=True, slots=True)
class LogShown:
    clocks: tuple[ClockShown, ...]
    lines: tuple[str, ...]
    form: Form | None


def log_shown(found: NightLog, reading: Reading, *, may: bool) -> LogShown:
    """may: she may write in it."""
    return LogShown(
        clocks=tuple(_clock(each, found, reading, may=may) for each in found.clocks),
        lines=tuple(_line(each, reading) for each in found.entries),
        form=write_form(found, reading) if may else None,
    )


def _clock(each: PartClock, log: NightLog, reading: Reading, *, may: bool) -> ClockShown:
    number, unmoved = log.stop.number, each in log.unmoved and not each.clock.over
    return ClockShown(
        part=f"{each.part} {each.crop}",
        told=_told(each, reading),
        more=_more(each, reading),
        asks=each.asks,
        form=decide_form(each, number, reading) if may and each.asks else None,
        inside=inside_form(each, log, reading) if may and unmoved else None,
    )


def _told(each: PartClock, reading: Reading) -> str:
    return reading.say(
        "%(long)s of %(limit)s in the warm",
        long=reading.duration(_minutes(each.clock.exposed_s)),
        limit=reading.duration(MOST_EXPOSED),
    )


def _minutes(seconds: int) -> int:
    return seconds // 60 * 60


def _more(each: PartClock, reading: Reading) -> str:
    clock, say = each.clock, reading.say
    if each.decided and each.decided.discards:
        return say(
            "%(who)s decided to discard them: %(what)s",
            who=each.decided.decided_by,
            what=each.decided.text,
        )
    if each.decided and each.decided.goes_on:
        return say(
            "%(who)s decided that they go on: %(what)s",
            who=each.decided.decided_by,
            what=each.decided.text,
        )
    if each.decided:
        return say("%(who)s decided: %(what)s", who=each.decided.decided_by, what=each.decided.text)
    if each.asks:
        over = reading.duration(_minutes(clock.exposed_s - MOST_EXPOSED))
        return say("Over the house limit by %(long)s: a named person decides.", long=over)
    if clock.ask_by is None:
        return say("It stands still: cold, or drying again.")
    return say("It runs: ask the manager by %(at)s.", at=reading.moment(_minute(clock.ask_by)))


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def _line(entry: Entry, reading: Reading) -> str:
    told = [reading.say(SAYS[entry.seen]) if entry.seen != "noted" or not entry.text else ""]
    told += [reading.temperature(entry.celsius)] if entry.celsius is not None else []
    told += [entry.text, f"({entry.decided_by})" if entry.decided_by else ""]
    words = " ".join(each for each in (entry.part, *told) if each)
    return f"{reading.moment(_minute(entry.at))}: {words} [{entry.by}]"


def write_form(found: NightLog, reading: Reading) -> Form:
    """What was seen or done just now; another time is folded away."""
    say = reading.say
    parts = tuple((each, each) for each in parts_inside(found.clocks))
    degrees = f"°{reading.temperature_unit}"
    parts = (("", say("None")), *parts)
    fields = (
        Field("part", say("Which racks?"), "choice", options=parts, needed=False),
        Field("seen", say("What?"), "few", options=tuple((each, say(SAYS[each])) for each in SEEN)),
        Field("celsius", say("Temperature"), "decimal", unit=degrees, needed=False),
        Field("text", say("In words"), needed=False, more={"autocomplete": "off"}),
        Field("at", say("When, if not just now"), "time", needed=False, folded=True),
    )  # fmt: skip
    where = f"{stop_address(found.stop.number)}/log"
    return Form(where, say("Write it down"), fields, {"seen": "noted"})


def inside_form(each: PartClock, log: NightLog, reading: Reading) -> Form:
    """It never left its dryer, and dries on there: since when, a person says."""
    say = reading.say
    told = {"part": each.part, "seen": "back to dryer", "at": reading.clock(log.at)}
    own = f"since-{each.part.replace(' ', '-')}"
    fields = (
        Field("part", "", "hidden"),
        Field("seen", "", "hidden"),
        Field("at", say("Drying again since"), "time", more={"id": own}),
    )
    where = f"{stop_address(log.stop.number)}/log"
    return Form(where, say("Inside, drying again"), fields, told)


def decide_form(each: PartClock, number: int, reading: Reading) -> Form:
    say = reading.say
    fields = (
        Field("part", "", "hidden"),
        Field("decision", say("What was decided?"), more={"autocomplete": "off"}),
        Field("decided_by", say("Who decides"), more={"autocomplete": "off"}),
        Field("goes_on", say("These racks go on from where they are"), "yes"),
        Field("discards", say("These racks are discarded"), "yes"),
    )
    where = f"{stop_address(number)}/decide"
    return Form(where, say("Keep the decision"), fields, {"part": each.part})


def due_told(logs: Iterable[NightLog], reading: Reading) -> tuple[str, ...]:
    """What must be looked at tonight, the first first: clocks that run or are over."""
    clocks = [(each, log) for log in logs for each in log.clocks if each.is_due]
    return tuple(
        f"{log.stop.station_id}, {each.part}: {_told(each, reading)}. {_more(each, reading)}"
        for each, log in sorted(clocks, key=lambda found: -found[0].clock.exposed_s)
    )
