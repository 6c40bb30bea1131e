"""The page "Waiting list": each note without a place, why, and what would give it one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from api.records.notes import NoteEntry
from api.records.plans import KeptPlan
from api.services.remedies import remedy_of, still_waits
from api.services.roles import Act, Doing
from scheduler.domain.plan import Waiting
from scheduler.domain.rules import TITLES
from scheduler.reasons.sentences import NOT_ASKED
from web.views.answer import WhyNot
from web.views.beside import plan_links
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS as NOTES
from web.views.links import Link, version, week_link
from web.views.page import Page
from web.views.places import ROOM
from web.views.reading import Reading

ADDRESS = "/waiting-list"
LONGER_SECONDS = 300  # common practice: one break, many times the usual minute


@dataclass(frozen=True, slots=True)
class WaitingNote:
    """press: what does its remedy at once; links: what else may be done."""

    id: str
    name: str
    whose: str
    why_not: WhyNot
    press: Form | None
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class WaitingPage(Page):
    template: ClassVar[str] = "waiting.html"
    week: Link
    version: str
    state: str
    rows: tuple[WaitingNote, ...]
    links: tuple[Link, ...]


def waiting_page(
    kept: KeptPlan, entries: Mapping[str, NoteEntry], reading: Reading, *, doing: Doing
) -> WaitingPage:
    """entries: the notes that wait, as they are now."""
    return WaitingPage(
        week=week_link(kept.plan.week),
        version=version(kept, reading),
        state=kept.state,
        rows=tuple(
            _row(kept, each, entries.get(each.note_id), reading, doing=doing)
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
        return Form("/lay-out", say("Lay out for longer"), _hidden(values), values)
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


def _hidden(values: Mapping[str, str]) -> tuple[Field, ...]:
    return tuple(Field(name, "", "hidden") for name in values)


def _links(entry: NoteEntry, reading: Reading, doing: Doing) -> Iterator[Link]:
    if doing.reach(Act.READ_NOTES) == "all":
        yield Link(reading.say("Open the note"), f"{NOTES}/{entry.id}")
    if entry.state in ("noted", "pencilled") and doing.reach(Act.CARRY_OVER) == "all":
        yield Link(reading.say("Carry it over"), f"{NOTES}/{entry.id}/carry-over")
