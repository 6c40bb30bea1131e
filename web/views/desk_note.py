"""One harvest note as the kitchen reads it: whose, what became of it, and what may be done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from datetime import timedelta
from typing import Any, ClassVar

from api.records.notes import NoteEntry, NoteState
from api.services.coming import Coming
from api.services.notes import ENDS
from api.services.own_lots import OwnLot
from api.services.roles import Act, Doing
from scheduler.domain.harvest import Grower
from web.views.form import Field, Form
from web.views.harvest_notes import ADDRESS, state_of
from web.views.links import Link
from web.views.my_lots import MAY_CHANGE, LotPage, lot_page
from web.views.places import later_address
from web.views.reading import N_, Reading
from web.views.tell import MORNING, more_fields, note_fields, said_of

WORDS: dict[str, tuple[NoteState, str, str]] = {  # by the last word of the address
    "let-go": ("let go", N_("Let it go"), N_("Let it go?")),
    "stand-down": ("stood down", N_("Stand it down"), N_("Stand it down?")),
    "nobody-came": ("no-show", N_("Nobody came"), N_("Did nobody come?")),
}
TURNS: dict[str, str] = {"bringing": N_("brings and works"), "packing": N_("packs")}
PROMISED = ("weight", "day", "at", "latest_day", "latest_at")


@dataclass(frozen=True, slots=True)
class DeskNotePage(LotPage):
    """As her own page of it, and whose it is. week: the list it stands in."""

    template: ClassVar[str] = "desk_note.html"
    grower: str
    state: str
    week: Link


def desk_note_page(own: OwnLot, grower: Grower, reading: Reading, *, doing: Doing) -> DeskNotePage:
    page = lot_page(own, reading, now=doing.at, may_change=False)
    told: dict[str, Any] = {each.name: getattr(page, each.name) for each in fields(page)}
    told["row"] = replace(page.row, name=f"{own.entry.id} {page.row.name}")
    told |= {"links": tuple(_links(own.entry, reading, doing)), "turns": _turns(own, reading)}
    week, coming = str(own.entry.week), Coming(own.seen, grower, own.card)
    notes = reading.say("Harvest notes")
    return DeskNotePage(
        **told,
        grower=f"{grower.id} {grower.name}, {grower.farm}",
        state=reading.say(own.lot.state if own.lot else state_of(coming)),
        week=Link(f"{notes}, {week}", f"{ADDRESS}?week={week}"),
    )


def _turns(own: OwnLot, reading: Reading) -> tuple[tuple[str, str], ...]:
    return tuple(
        (reading.say(TURNS[turn.kind]), reading.span(turn.start, turn.end)) for turn in own.turns
    )


def _links(entry: NoteEntry, reading: Reading, doing: Doing) -> Iterator[Link]:
    """What may still be done with it, by who is asking."""
    where = f"{ADDRESS}/{entry.id}"
    if entry.state not in MAY_CHANGE:
        return
    if doing.reach(Act.PLACE) == "all" and entry.state in ("firm", "pencilled"):
        yield Link(reading.say("Comes at another time"), later_address(entry.id))
    if doing.reach(Act.CHANGE_NOTE) == "all":
        yield Link(reading.say("Change it"), f"{where}/change")
    if doing.reach(Act.CARRY_OVER) == "all":
        yield Link(reading.say("Carry it over"), f"{where}/carry-over")
    for word, (state, text, _) in WORDS.items():
        if state == "no-show" and entry.state == "noted":
            continue
        if doing.reach(ENDS[state]) == "all":
            yield Link(reading.say(text), f"{where}/{word}")


def note_in_form(
    address: str,
    growers: Sequence[tuple[str, str]],
    crops: Sequence[tuple[str, str]],
    reading: Reading,
) -> Form:
    """What is asked when a grower rings."""
    say = reading.say
    asked = (
        Field("grower", say("Whose?"), "choice", options=tuple(growers)),
        Field("crop", say("Which crop?"), "choice", options=tuple(crops)),
        *note_fields(reading),
    )
    return Form(address, say("Note it"), asked, {"at": MORNING, "may_split": "yes"})


def desk_change_form(own: OwnLot, reading: Reading) -> Form:
    """Of a firm note, whose weight and times are promised, only what else was told."""
    entry, say = own.entry, reading.say
    latest = (
        Field("latest_day", say("In a dryer at the latest"), "date"),
        Field("latest_at", say("At what time, at the latest?"), "time"),
    )
    firm = entry.state == "firm"
    asked = more_fields(reading) if firm else _with(latest, note_fields(reading))
    shown = tuple(replace(each, folded=False) for each in asked)
    said = desk_said(entry, reading) | {"version": str(entry.version)}
    version = Field("version", "", "hidden")
    return Form(f"{ADDRESS}/{entry.id}/change", say("Keep the change"), (version, *shown), said)


def _with(latest: tuple[Field, ...], asked: tuple[Field, ...]) -> tuple[Field, ...]:
    """The latest start behind the arrival."""
    behind = 1 + [each.name for each in asked].index("at")
    return (*asked[:behind], *latest, *asked[behind:])


def desk_said(entry: NoteEntry, reading: Reading, *, exactly: bool = False) -> dict[str, str]:
    """The note as it stands in the fields. exactly: its weight to the gram."""
    latest = reading.local(entry.latest_start)
    said = said_of(entry.note, reading, exactly=exactly)
    return said | {"latest_day": f"{latest:%Y-%m-%d}", "latest_at": f"{latest:%H:%M}"}


def as_it_was(entry: NoteEntry, reading: Reading) -> dict[str, str]:
    """Its fields for who would undo a change."""
    said = desk_said(entry, reading, exactly=True)
    firm = entry.state == "firm"
    return {name: said[name] for name in said if not (firm and name in PROMISED)}


def end_form(entry: NoteEntry, word: str, reading: Reading) -> Form:
    _, button, _ = WORDS[word]
    version = Field("version", "", "hidden")
    said = {"version": str(entry.version)}
    where = f"{ADDRESS}/{entry.id}/{word}"
    return Form(where, reading.say(button), (version,), said, danger=True)


def carry_form(entry: NoteEntry, reading: Reading) -> Form:
    """A week later, at the same time, until somebody says otherwise."""
    at, say = reading.local(entry.arrives) + timedelta(days=7), reading.say
    asked = (
        Field("version", "", "hidden"),
        Field("day", say("Which day does it come?"), "date"),
        Field("at", say("At what time?"), "time"),
    )
    said = {"version": str(entry.version), "day": f"{at:%Y-%m-%d}", "at": f"{at:%H:%M}"}
    return Form(f"{ADDRESS}/{entry.id}/carry-over", say("Carry it over"), asked, said, danger=True)
