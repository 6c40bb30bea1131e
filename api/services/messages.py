"""The outbox: one text under 480 characters to a grower, until a person or a webhook sends it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby

from api.records.plans import KeptPlan
from api.records.told import Message
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.turn import Turn
from scheduler.wording import clock, clock_from, weight

MOST_CHARACTERS = 479  # three texts of 160, one character to spare
_MORE = "More on your day."


def text_for(kept: KeptPlan, turns: Iterable[Turn], grower_id: str) -> str:
    """What the grower hears about the week: when to come for what, and what waits."""
    asked = kept.asked
    own = sorted(turns, key=lambda turn: (turn.note_id, turn.start))
    lines = [
        *(
            _of_note(asked, note_id, tuple(of_note))
            for note_id, of_note in groupby(own, key=lambda turn: turn.note_id)
        ),
        *_waiting(kept, grower_id),
    ]
    return fitting(f"{asked.kitchen.name}, week {kept.plan.week}:", lines)


def _of_note(asked: Asked, note_id: str, turns: tuple[Turn, ...]) -> str:
    stands = [turn for turn in turns if turn.stands]
    called = _called(asked, note_id)
    if not stands:
        return f"{called}: no longer expected."
    pencilled = any(turn.state == "pencilled" for turn in stands)
    short = " Pencilled only: papers short." if pencilled else ""
    times = ", ".join(_time(asked, turn) for turn in stands)
    return f"{called}: {times}.{short}"


def _called(asked: Asked, note_id: str) -> str:
    note = next((each for each in asked.notes if each.id == note_id), None)
    if note is None:
        return note_id
    amount = weight(note.field_g, asked.kitchen.weight_unit)
    return f"{note.id} {asked.card(note.card_id).name} {amount}"


def _time(asked: Asked, turn: Turn) -> str:
    start, end = (at.astimezone(asked.kitchen.zone) for at in (turn.start, turn.end))
    what = "bring" if turn.kind == "bringing" else "pack"
    return f"{what} {start:%a} {start.day} {clock(start)}-{clock_from(end, start.date())}"


def _waiting(kept: KeptPlan, grower_id: str) -> Iterator[str]:
    for each in kept.plan.waiting:
        if kept.asked.note(each.note_id).grower_id == grower_id:
            rule = f" (rule {each.rule})" if each.rule else ""
            yield f"{_called(kept.asked, each.note_id)} waits{rule}."


def fitting(head: str, lines: list[str]) -> str:
    """As many lines as have room; where some have none, it says so."""
    whole = " ".join([head, *lines])
    if len(whole) <= MOST_CHARACTERS:
        return whole
    while lines and len(" ".join([head, *lines, _MORE])) > MOST_CHARACTERS:
        lines = lines[:-1]
    return " ".join([head, *lines, _MORE])


def messages(
    book: Book, doing: Doing, *, unsent: bool, after: int | None, limit: int | None
) -> tuple[Message, ...]:
    """The outbox in order of writing."""
    must(doing, Act.SEND_MESSAGES)
    equals = {"sent_at": None} if unsent else {}
    return book.messages.where(after=after, limit=limit, **equals)


def mark_sent(book: Book, doing: Doing, number: int) -> Message:
    """It went out; said twice, it stays as it was said first."""
    must(doing, Act.SEND_MESSAGES)
    found = book.messages.find(number)
    if found is None:
        raise NoSuchThing(f"there is no message {number}")
    if found.sent_at is not None:
        return found
    sent = replace(found, sent_at=doing.at, sent_by=doing.person.id)
    book.messages.replace(sent)
    keep_deed(book, doing, Act.SEND_MESSAGES, str(number))
    return sent
