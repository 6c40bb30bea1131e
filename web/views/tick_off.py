"""The page "Tick off": the day in time order, each line pressed when it is done."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import ClassVar

from api.services.at_the_door import weighed_of
from api.services.day_to_tick import JUST_TICKED, OF_RUN, DayToTick, LineToTick, note_of
from scheduler.day_sheet.cautions import AT_WORK
from scheduler.day_sheet.sheet import Caution, LotLabel
from web.views.at_the_door import Meaning, meaning_of
from web.views.dry_check import ADDRESS as DRY_CHECKS
from web.views.dry_check import NEXT_HELD, address_of
from web.views.links import Link
from web.views.page import Page
from web.views.plain import FormPage
from web.views.reading import N_, Reading
from web.views.tick_forms import (
    ACTS,
    FOR_GOOD,
    Press,
    back_form,
    line_forms,
    load_form,
    name_of,
    waits_for,
)

ADDRESS = "/tick-off"


@dataclass(frozen=True, slots=True)
class LoadShown:
    """One basket: its number and time; done: by whom and when, "" while it is not."""

    number: int
    at: str
    done: str
    press: Press | None


@dataclass(frozen=True, slots=True)
class LineShown:
    """id: of the line on the page; time, until, act: worded; rest: how much and the planner's
    remark, in English. done: by whom and when, "" while it is not; struck: nothing is left to do;
    told: what came of it. waits: what must be done before. down: why its station cannot be
    used."""

    id: str
    time: str
    until: str
    station: str
    act: str
    lots: tuple[LotLabel, ...]
    rest: tuple[str, ...]
    who: str
    changes_dryer: bool
    done: str
    struck: bool
    told: str
    waits: Link | None
    loads: tuple[LoadShown, ...]
    presses: tuple[Press, ...]
    link: Link | None
    down: str
    caution: Caution | None
    meaning: Meaning | None = None  # of a true weight, or of being held


@dataclass(frozen=True, slots=True)
class TickOffPage(Page):
    """who: for whom what is not sent yet is kept. why_not: why nothing can be ticked here.
    next: the first line that is not done. left: to the day before, where something was left. held:
    lots held after their dry check."""

    template: ClassVar[str] = "tick_off.html"
    day: date
    today: bool
    days: tuple[Link, ...]
    sheet: Link
    lines: tuple[LineShown, ...]
    done: int
    next: str
    left: Link | None
    held: tuple[str, ...]
    dry_checks: str
    why_not: str
    who: str
    for_good: str


def tick_off_page(
    found: DayToTick, reading: Reading, *, who: str, today: date, left: int
) -> TickOffPage:
    """who: "" where nobody has logged in, without which nothing is ticked. left: so many lines of
    the day before are not done."""
    day = found.sheet.day
    lines = tuple(
        replace(
            _line(each, reading, day=day, may=bool(who) and each.posted),
            meaning=_meaning(each, reading),
        )
        for each in found.lines
    )
    ticked = [each.is_done for each in found.lines]
    undone = (line.id for line, done in zip(lines, ticked, strict=True) if not done)
    return TickOffPage(
        day=day,
        today=day == today,
        days=tuple(_days(found, reading)),
        sheet=Link(reading.say("Day sheet"), f"/day-sheets/{day}"),
        lines=lines,
        done=sum(ticked),
        next=next(undone, ""),
        left=_left(left, reading, day - timedelta(days=1)) if found.posted else None,
        held=tuple(each.code for each in found.held),
        dry_checks=DRY_CHECKS,
        why_not=_why_not(found, reading, known=bool(who)),
        who=who,
        for_good=reading.say(FOR_GOOD),
    )


def _left(left: int, reading: Reading, before: date) -> Link | None:
    if not left:
        return None
    text = reading.say_many(
        "%(n)s line of %(day)s is not ticked off",
        "%(n)s lines of %(day)s are not ticked off",
        left,
        day=reading.short_day(before),
    )
    return Link(text, f"{ADDRESS}/{before}")


def _why_not(found: DayToTick, reading: Reading, *, known: bool) -> str:
    if not found.posted and any(each.posted for each in found.lines):
        return reading.say(
            "The plan of this week is not posted: only what is left of the week before can be"
            " ticked off."
        )
    if not found.posted:
        return reading.say("This plan is not posted, so that nothing can be ticked off yet.")
    return "" if known else reading.say("Log in to tick off what is done.")


def _days(found: DayToTick, reading: Reading) -> Iterator[Link]:
    asked = found.kept.asked
    for day in asked.days:
        if asked.kitchen.staffed_spans((day,)):
            here = day == found.sheet.day
            yield Link(reading.short_day(day), f"{ADDRESS}/{day}", here)


def line_id(key: str) -> str:
    """A line's key as a place on the page."""
    return "line-" + re.sub(r"[^\w]+", "-", key)


def _line(each: LineToTick, reading: Reading, *, day: date, may: bool) -> LineShown:
    line = each.line
    return LineShown(
        id=line_id(each.key),
        time=f"{line.at:%H:%M}",
        until=f"{line.until:%H:%M}" if line.until else "",
        station=line.station_id,
        act=reading.say(ACTS[line.act]),
        lots=line.lots,
        rest=tuple(text for text in (line.amount, line.remark) if text),
        who="; ".join(line.who),
        changes_dryer=line.changes_dryer,
        done=name_of(each.done, reading, day),
        struck=each.is_done,
        told=_told(each, reading),
        waits=_waits(each, reading),
        loads=tuple(_loads(each, reading, day=day, may=may)),
        presses=tuple(_presses(each, reading, day)) if may else (),
        link=_link(each, reading) if may else None,
        down=_down(each, reading, day),
        caution=_caution(each),
    )


def _presses(each: LineToTick, reading: Reading, day: date) -> Iterator[Press]:
    """What can be pressed at it now; what is done and was only ticked can be taken back."""
    where = f"{ADDRESS}/{day}"
    if each.loads:
        return
    if each.done is None:
        asks = each.line.act not in JUST_TICKED
        for summary, form in line_forms(each, reading, where):
            yield Press(form, summary if asks else "")
    elif each.line.act in JUST_TICKED:
        yield Press(back_form(each.key, reading, where))


def _loads(each: LineToTick, reading: Reading, *, day: date, may: bool) -> Iterator[LoadShown]:
    where = f"{ADDRESS}/{day}"
    for load, done in zip(each.line.loads, each.loads, strict=True):
        form = (
            back_form(each.key, reading, where, load=load.number)
            if done
            else load_form(each.key, reading, where, load=load.number)
        )
        at = f"{load.start:%H:%M}"
        yield LoadShown(load.number, at, name_of(done, reading, day), Press(form) if may else None)


def _told(each: LineToTick, reading: Reading) -> str:
    """What came of it, once it is done."""
    done, lot = each.done, each.lot
    if done is None or lot is None:
        return ""
    if each.line.act == "weigh in":
        weight = reading.weight(done.told["weighed_g"])
        return reading.say("%(weight)s, lot %(code)s", weight=weight, code=lot.code)
    if each.line.act == "pack":
        return reading.say_many("%(n)s bag", "%(n)s bags", done.told["bags"])
    if each.line.act == "dry check":
        told = N_("Held by %(who)s") if each.is_held else N_("Passed by %(who)s")
        return reading.say(told, who=done.told["decided_by"])
    return ""


def _meaning(each: LineToTick, reading: Reading) -> Meaning | None:
    if each.done is None or each.line.act != "weigh in":
        return Meaning(reading.say(NEXT_HELD), decide=True) if each.is_held else None
    weighed = weighed_of(each.plan, note_of(each.line), each.done.told)
    return meaning_of(weighed, reading)


def _link(each: LineToTick, reading: Reading) -> Link | None:
    """To its readings, once there are racks to read."""
    kept, lot = each.kept, each.lot
    if each.line.act != "dry check" or lot is None or kept is None or kept.unloaded is None:
        return None
    text = reading.say("Its readings") if each.is_done else reading.say("Dry check")
    return Link(text, address_of(lot.code, kept.number))


def _waits(each: LineToTick, reading: Reading) -> Link | None:
    """What must be done before, and where, if that is a start that was not ticked off."""
    told = "" if each.is_done else waits_for(each, reading)
    if not told:
        return None
    run = each.run
    if run is None or each.kept is not None or each.line.act not in OF_RUN:
        return Link(told, "")
    at = reading.local(run.start)
    lots = "+".join(charge.code for charge in run.charges)
    start = line_id(f"start {lots} {run.dryer_id} {at:%H:%M}")
    return Link(told, f"{ADDRESS}/{at.date()}#{start}")


def _down(each: LineToTick, reading: Reading, day: date) -> str:
    if each.down is None:
        return ""
    since = reading.clock_from(each.down.stopped.replace(second=0), day)
    if not each.down.cause:
        return reading.say("Down since %(at)s.", at=since)
    return reading.say("Down since %(at)s: %(cause)s", at=since, cause=each.down.cause)


def _caution(each: LineToTick) -> Caution | None:
    """Where the hand is: at the steamer, at a dryer that is down; of the dry check, on its page."""
    if each.is_done:
        return None
    if each.down and each.line.act in ("fill", "start", "end", "unload", "down"):
        return AT_WORK["unload"]
    return AT_WORK["steam"] if each.line.act == "steam" else None


def one_line(each: LineToTick, reading: Reading, day: date, *, ended: bool) -> FormPage | None:
    """The form of one line by itself, None where it has none. ended: of two, the one that says
    that the run has ended."""
    forms = [form for _, form in line_forms(each, reading, f"{ADDRESS}/{day}")]
    form = next((form for form in forms if not ended or form.said.get("ended")), None)
    if form is None:
        return None
    lots = "; ".join(f"{lot.code} {lot.crop}, {lot.farm}" for lot in each.line.lots)
    title = f"{reading.say(ACTS[each.line.act]).capitalize()}: {lots}"
    return FormPage(title, reading.say(FOR_GOOD), form)
