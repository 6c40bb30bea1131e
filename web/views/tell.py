"""The page "Tell us what's coming": three questions, the rest folded, and the answer at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from scheduler.domain.harvest import HarvestNote
from web.views.answer import AnswerShown
from web.views.form import Field, Form
from web.views.page import Page
from web.views.reading import Reading

ADDRESS = "/tell-us-whats-coming"
ANSWER = f"{ADDRESS}/answer"
NAMES = {  # what the book calls it, to its name here
    "field_kg": "weight", "field_g": "weight", "card_id": "crop", "arrives": "day",
    "latest_start": "latest_day",
}  # fmt: skip
MORNING = "08:00"  # stands there until she says otherwise (demo)


@dataclass(frozen=True, slots=True)
class TellPage(Page):
    """answer: what it would be; None before it was asked for."""

    template: ClassVar[str] = "tell.html"
    form: Form
    look: str
    answer: AnswerShown | None = None


@dataclass(frozen=True, slots=True)
class NoteInPage(TellPage):
    """The same, noted by the kitchen for a grower who rang."""

    template: ClassVar[str] = "note_in.html"


def tell_form(crops: Sequence[tuple[str, str]], reading: Reading) -> Form:
    crop = Field("crop", reading.say("Which crop?"), "choice", options=tuple(crops))
    said = {"at": MORNING, "may_split": "yes"}
    fields = (crop, *note_fields(reading))
    return Form(ADDRESS, reading.say("Tell the kitchen"), fields, said)


def note_fields(reading: Reading) -> tuple[Field, ...]:
    """What is asked of a harvest besides its crop: weight and time, and what may stay folded."""
    say = reading.say
    return (
        Field(
            "weight",
            say("How much, as you bring it?"),
            "decimal",
            unit=reading.weight_unit,
            more={"maxlength": "12"},
        ),
        Field("day", say("Which day does it come?"), "date"),
        Field("at", say("At what time?"), "time"),
        *more_fields(reading),
    )


def more_fields(reading: Reading) -> tuple[Field, ...]:
    say = reading.say
    return (
        Field("may_split", say("It may be dried in several parts"), "yes", folded=True),
        Field("second_pair", say("A second pair comes to work"), "yes", folded=True),
        Field(
            "remark",
            say("Anything the kitchen should know?"),
            "long",
            hint=say("Ripe, wet, picked in the evening"),
            needed=False,
            more={"maxlength": "200"},
            folded=True,
        ),
    )


def said_of(note: HarvestNote, reading: Reading, *, exactly: bool = False) -> dict[str, str]:
    """A note as it stands in the fields. exactly: its weight to the gram, in any unit."""
    at, weight = reading.local(note.arrives), reading.in_unit(note.field_g)
    found = {
        "weight": f"{weight:.9g}" if exactly else f"{weight:.5g}",
        "day": f"{at:%Y-%m-%d}",
        "at": f"{at:%H:%M}",
        "remark": note.remark,
    }
    ticked = [name for name in ("may_split", "second_pair") if getattr(note, name)]
    return found | dict.fromkeys(ticked, "yes")
