"""The page "Waiting list": each note without a place, why, and what would give it one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from api.records.notes import NoteEntry
from api.records.plans import KeptPlan
from api.services.doing_remedies import KitchenNow, are_those
from api.services.remedies import Remedy, remedy_of, still_waits
from api.services.roles import Act, Doing
from scheduler.domain.plan import Waiting
from scheduler.domain.rules import TITLES
from scheduler.reasons.sentences import NO_CHANGE, NOT_ASKED
from web.views.answer import WhyNot
from web.views.beside import plan_links
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS as NOTES
from web.views.links import Link, version, week_link
from web.views.page import Page
from web.views.places import ROOM
from web.views.reading import N_, Reading

ADDRESS = "/waiting-list"
NOTHING_KNOWN = KitchenNow()
STATIONS_DOWN = N_("%(stations)s is down; lay out again once it is back.")
NO_PRESS = N_("No press can do that: the kitchen, or the process card, would have to be another.")
KEEPS_NO_LONGER = N_(
    "No press does that: its process card keeps the crop no longer in the cold store."
)
LONGER_SECONDS = 300  # common practice: one break, many times the usual minute


@dataclass(frozen=True, slots=True)
class WaitingNote:
    """press: what does its remedy at once; beware: what that press changes besides; needs: why
    there is no press; links: what else may be done."""

    id: str
    name: str
    whose: str
    why_not: WhyNot
    press: Form | None
    links: tuple[Link, ...]
    beware: str = ""
    needs: str = ""


@dataclass(frozen=True, slots=True)
class WaitingPage(Page):
    template: ClassVar[str] = "waiting.html"
    week: Link
    version: str
    state: str
    rows: tuple[WaitingNote, ...]
    links: tuple[Link, ...]


def waiting_page(
    kept: KeptPlan,
    entries: Mapping[str, NoteEntry],
    reading: Reading,
    *,
    doing: Doing,
    now: KitchenNow = NOTHING_KNOWN,
) -> WaitingPage:
    """entries: the notes that wait, as they are now."""
    return WaitingPage(
        week=week_link(kept.plan.week),
        version=version(kept, reading),
        state=kept.state,
        rows=tuple(
            _pressed(
                _row(kept, each, entries.get(each.note_id), reading, doing=doing),
                remedy_of(kept.asked, each),
                _Desk(kept, now, reading, doing),
            )
            for each in kept.plan.waiting
        ),
        links=tuple(_all_links(kept, reading, doing)),
    )


def _all_links(kept: KeptPlan, reading: Reading, doing: Doing) -> Iterator[Link]:
    if kept.state == "posted" and doing.reach(Act.PLACE) == "all":
        yield Link(reading.say("Room for those who wait"), f"{ROOM}/{kept.plan.week}")
    yield from plan_links(kept, reading, doing, but=ADDRESS)


def _row(
    kept: KeptPlan, waiting: Waiting, entry: NoteEntry | None, reading: Reading, *, doing: Doing
) -> WaitingNote:
    asked, say = kept.asked, reading.say
    note = asked.note(waiting.note_id)
    grower, weight = asked.grower(note.grower_id), reading.weight(waiting.field_g)
    part = "" if waiting.field_g == note.field_g else say(" of it")
    reason = "" if waiting.reason == NOT_ASKED else waiting.reason
    title = say(TITLES[waiting.rule]) if waiting.rule else ""
    return WaitingNote(
        id=note.id,
        name=f"{note.id} {asked.card(note.card_id).name}, {weight}{part}",
        whose=f"{grower.name}, {grower.farm}",
        why_not=WhyNot(waiting.rule, title, reason, waiting.remedy, waiting.proved),
        press=_press(kept, waiting, entry, reading, doing=doing) if entry else None,
        links=tuple(_links(entry, reading, doing)) if entry else (),
    )


def _press(
    kept: KeptPlan, waiting: Waiting, entry: NoteEntry, reading: Reading, *, doing: Doing
) -> Form | None:
    remedy, say = remedy_of(kept.asked, waiting), reading.say
    if remedy is None:
        return None
    if remedy.longer and doing.reach(Act.LAY_OUT) == "all":
        names, said = ("week", "seconds", "seed"), (kept.plan.week, LONGER_SECONDS, 1)
        values = dict(zip(names, map(str, said), strict=True))
        return Form("/lay-out", say("Lay out with more seconds"), _hidden(values), values)
    if remedy.to and doing.reach(Act.CHANGE_NOTE) == "all" and still_waits(kept, entry):
        latest = remedy.to.get("latest_start")
        button = (
            say("Let it start as late as %(at)s", at=reading.moment(latest))
            if latest
            else say("Let it be split")
        )
        values = {"plan": str(kept.number), "version": str(entry.version)}
        return Form(f"{ADDRESS}/{entry.id}/remedy", button, _hidden(values), values)
    return None


@dataclass(frozen=True, slots=True)
class _Desk:
    """Where a remedy is pressed."""

    kept: KeptPlan
    now: KitchenNow
    reading: Reading
    doing: Doing


def _pressed(row: WaitingNote, remedy: Remedy | None, at: _Desk) -> WaitingNote:
    """The row with a press for a remedy that changes more than the note, or with why there is
    none."""
    say, where = at.reading.say, f"{ADDRESS}/{row.id}"
    plan = {"plan": str(at.kept.number)}
    if row.press or not row.why_not.remedy or row.why_not.remedy == NO_CHANGE:
        return row
    if remedy and remedy.wishes and at.doing.reach(Act.WISH) == "all":
        if at.now.wishes.issuperset(remedy.wishes):
            press = Form(f"{where}/unpin", say("Let go of what is pinned"), _hidden(plan), plan)
            return replace(row, press=press)
        return row
    if remedy and remedy.hours:
        return replace(row, **_hours(row, plan, at))
    if remedy and remedy.spoils:
        return replace(row, needs=say(KEEPS_NO_LONGER))
    if remedy is None or remedy.more:
        down = [each for each in (remedy.more if remedy else ()) if each in at.now.down]
        told = say(STATIONS_DOWN, stations=", ".join(down)) if down else say(NO_PRESS)
        return replace(row, needs=told)
    return row


def _hours(row: WaitingNote, plan: dict[str, str], at: _Desk) -> dict[str, Any]:
    """One press for who keeps the kitchen, while its hours are as the plan knew them."""
    say, kitchen = at.reading.say, at.now.kitchen
    may = at.doing.reach(Act.KEEP_HOUSE) == "all"
    if not may or kitchen is None or not are_those(kitchen, at.kept.asked.kitchen):
        return {}
    values = plan | {"version": str(at.now.settings)}
    button = say("Stay an hour longer")
    press = Form(f"{ADDRESS}/{row.id}/hours", button, _hidden(values), values)
    beware = say("The hours and shifts of that weekday change, in every week until changed back.")
    return {"press": press, "beware": beware}


def _hidden(values: Mapping[str, str]) -> tuple[Field, ...]:
    return tuple(Field(name, "", "hidden") for name in values)


def _links(entry: NoteEntry, reading: Reading, doing: Doing) -> Iterator[Link]:
    if doing.reach(Act.READ_NOTES) == "all":
        yield Link(reading.say("Open the note"), f"{NOTES}/{entry.id}")
    if entry.state in ("noted", "pencilled") and doing.reach(Act.CARRY_OVER) == "all":
        yield Link(reading.say("Carry it over"), f"{NOTES}/{entry.id}/carry-over")
    if entry.asks and doing.reach(Act.WISH) == "all":
        yield Link(reading.say("Pin it"), f"/pinned/{entry.week}?note={entry.id}")
