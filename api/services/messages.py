"""The outbox: one text under 480 characters to a grower, until a person or a webhook sends it or
a later one overtakes it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from itertools import groupby

from api.records.plans import KeptPlan
from api.records.told import Message
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow, OldVersion
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Waiting
from scheduler.domain.turn import Turn
from scheduler.units import Grams
from scheduler.wording import clock, clock_from, count, weight

MOST_CHARACTERS = 479  # three texts of 160, one character to spare
_MORE = "More on your day."


def head_of(kept: KeptPlan) -> str:
    return f"{kept.asked.kitchen.name}, week {kept.plan.week}:"


def lines_for(
    kept: KeptPlan, turns: Iterable[Turn], grower_id: str, *, besides: Collection[str] = ()
) -> Iterator[str]:
    """A sentence for each of her notes in the plan; besides: notes of which nothing is said."""
    own = sorted(turns, key=lambda turn: (turn.note_id, turn.start))
    for note_id, of_note in groupby(own, key=lambda turn: turn.note_id):
        if note_id not in besides:
            yield _of_note(kept.asked, note_id, tuple(of_note))
    yield from _waiting(kept, grower_id, besides)
    yield from _discarded(kept, grower_id, besides)


def discarded_since(before: KeptPlan | None, kept: KeptPlan) -> set[str]:
    """Growers of part-lots that are discarded in a plan, and were not in the one before."""
    known = {each.key for each in (before.plan.part_lots if before else ()) if each.discarded}
    gone = (each for each in kept.plan.part_lots if each.discarded and each.key not in known)
    return {kept.asked.note(each.note_id).grower_id for each in gone}


def _discarded(kept: KeptPlan, grower_id: str, besides: Collection[str]) -> Iterator[str]:
    """What a person decided to discard after a stop, note by note."""
    gone = [each for each in kept.plan.part_lots if each.discarded]
    for note_id in dict.fromkeys(each.note_id for each in gone):
        if kept.asked.note(note_id).grower_id == grower_id and note_id not in besides:
            own = [each for each in gone if each.note_id == note_id]
            short_g = Grams(sum(each.prepared_g for each in own))
            racks = count(sum(each.racks for each in own), "rack")
            short = weight(short_g, kept.asked.kitchen.weight_unit)
            yield (
                f"{_called_in(kept.asked, note_id)}: {racks} ({short} prepared) came to nothing"
                " after the stop, as the kitchen decided."
            )


def _of_note(asked: Asked, note_id: str, turns: tuple[Turn, ...]) -> str:
    stands = [turn for turn in turns if turn.stands]
    name = _called_in(asked, note_id)
    if not stands:
        return f"{name}: no longer expected."
    pencilled = any(turn.state == "pencilled" for turn in stands)
    short = " Pencilled only: papers short." if pencilled else ""
    times = ", ".join(_time(asked, turn) for turn in stands)
    return f"{name}: {times}.{short}"


def called(asked: Asked, note: HarvestNote) -> str:
    """ "R02 tomato 118 kg"."""
    amount = weight(note.field_g, asked.kitchen.weight_unit)
    return f"{note.id} {asked.card(note.card_id).name} {amount}"


def _called_in(asked: Asked, note_id: str) -> str:
    note = next((each for each in asked.notes if each.id == note_id), None)
    return note_id if note is None else called(asked, note)


def _time(asked: Asked, turn: Turn) -> str:
    start, end = (at.astimezone(asked.kitchen.zone) for at in (turn.start, turn.end))
    what = "bring" if turn.kind == "bringing" else "pack"
    return f"{what} {start:%a} {start.day} {clock(start)}-{clock_from(end, start.date())}"


def _waiting(kept: KeptPlan, grower_id: str, besides: Collection[str]) -> Iterator[str]:
    for each in kept.plan.waiting:
        hers = kept.asked.note(each.note_id).grower_id == grower_id
        if hers and each.note_id not in besides:
            rule = f" (rule {each.rule})" if each.rule else ""
            whole = _called_in(kept.asked, each.note_id)
            yield f"{_part(kept.asked, each)}{whole} waits{rule}."


def _part(asked: Asked, waiting: Waiting) -> str:
    """ "26.1 kg of ", where the rest has a place."""
    if waiting.field_g >= asked.note(waiting.note_id).field_g:
        return ""
    return f"{weight(waiting.field_g, asked.kitchen.weight_unit)} of "


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
    """The outbox in order of writing; unsent: only what is to be sent, so none overtaken."""
    must(doing, Act.SEND_MESSAGES)
    equals = {"sent_at": None, "overtaken_by": None} if unsent else {}
    return book.messages.where(after=after, limit=limit, **equals)


def to_be_sent(book: Book, grower_id: str, week: Week) -> tuple[Message, ...]:
    """What that grower has not yet been sent about that week, and is to be."""
    return book.messages.where(
        grower_id=grower_id, plan=book.plans.numbers_of(week), sent_at=None, overtaken_by=None
    )


def tell(book: Book, doing: Doing, kept: KeptPlan, *, grower_id: str, text: str) -> Message:
    """Write it; what was to be sent to her about the same week is overtaken by it."""
    older = to_be_sent(book, grower_id, kept.plan.week)
    newer = book.messages.add(Message(grower_id, text, kept.number, doing.at))
    for each in older:
        book.messages.replace(replace(each, overtaken_by=newer.number))
    return newer


def mark_sent(book: Book, doing: Doing, number: int) -> Message:
    """It went out, even if another overtook it meanwhile; said twice, it stays as said first."""
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


def mark_unsent(book: Book, doing: Doing, number: int, *, marked: str) -> Message:
    """It did not go out after all: it is to be sent.

    marked: when it was said to be sent, in ISO 8601; OldVersion where that was said anew since.
    NotNow where a later text to her about the same week stands in its place.
    """
    must(doing, Act.SEND_MESSAGES)
    found = book.messages.find(number)
    kept = None if found is None else book.plans.find(found.plan)
    if found is None or kept is None:
        raise NoSuchThing(f"there is no message {number}")
    if found.sent_at is None or found.sent_at.isoformat() != marked:
        raise OldVersion(f"message {number} is not as it was then; look again")
    of_week = book.plans.numbers_of(kept.plan.week)
    if book.messages.where(after=number, limit=1, grower_id=found.grower_id, plan=of_week):
        raise NotNow(f"a later text stands in the place of message {number}")
    unsent = replace(found, sent_at=None, sent_by="")
    book.messages.replace(unsent)
    keep_deed(book, doing, Act.SEND_MESSAGES, str(number), unsent=True)
    return unsent
