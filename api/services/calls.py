"""The call list: which grower is to be rung for what, and that it was done, by whom and when.

That somebody was rung stands in the trail of deeds; what there is to ring for is found anew each
time, so that nothing that has settled itself is asked about.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal
from zlib import crc32

from api.records.notes import NoteEntry, NoteState
from api.records.plans import KeptTurn
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing, NotNow
from api.services.notes import SeenNote, as_seen
from api.services.plans import plan_numbered
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.weeks import week_entry
from scheduler.domain.clock import Week
from scheduler.domain.harvest import Grower
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.turn import Turn

Why = Literal["no answer", "turn moved", "papers short", "did not come"]
NOT_ANSWERED = "not answered"
UNDECIDED: tuple[NoteState, ...] = ("noted", "pencilled")


@dataclass(frozen=True, slots=True)
class Rung:
    """by: the name of who rang."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing to ring for. id names it, and changes when there is something new to say.

    turn: the one that was moved or called off. papers: those that are short.
    """

    id: str
    why: Why
    entry: NoteEntry
    card: ProcessCard
    turn: Turn | None = None
    papers: tuple[str, ...] = ()
    rung: Rung | None = None


@dataclass(frozen=True, slots=True)
class Call:
    """A grower with all that she is to be rung for. telephone: "" where the book has none."""

    grower: Grower
    telephone: str
    reasons: tuple[Reason, ...]

    @property
    def open(self) -> tuple[Reason, ...]:
        """What nobody has rung her for yet."""
        return tuple(each for each in self.reasons if each.rung is None)


def call_list(book: Book, doing: Doing, week: Week) -> tuple[Call, ...]:
    """Of a week, those still to be rung first, else in order of id."""
    must(doing, Act.RING)
    seen = as_seen(book, doing, book.notes.where(week=week))
    found: dict[str, list[Reason]] = {}
    for reason in _Week.of(book, doing, week).reasons(seen):
        found.setdefault(reason.entry.grower_id, []).append(reason)
    calls = (
        Call(each.grower, each.telephone, tuple(found[each.id]))
        for each in book.growers.where()
        if each.id in found
    )
    return tuple(sorted(calls, key=lambda call: (not call.open, call.grower.id)))


def ring(
    book: Book, doing: Doing, week: Week, grower_id: str, *, about: Collection[str], back: bool
) -> Call:
    """She was rung about those reasons, now; back: she was not after all.

    NoSuchThing for a grower who is not there, NotNow where nothing of it is to be rung about.
    """
    must(doing, Act.RING)
    if book.growers.find(grower_id) is None:
        raise NoSuchThing(f"there is no grower {grower_id}")
    every = (each for each in call_list(book, doing, week) if each.grower.id == grower_id)
    reasons = [
        reason.id
        for call in every
        for reason in call.reasons
        if reason.id in about and (reason.rung is not None) == back
    ]
    if not reasons:
        raise NotNow(f"there is nothing of that to ring {grower_id} about; look at the list again")
    told = {"week": str(week), "about": reasons, "back": back}
    keep_deed(book, doing, Act.RING, grower_id, **told)
    return next(each for each in call_list(book, doing, week) if each.grower.id == grower_id)


@dataclass(frozen=True, slots=True)
class _Week:
    """What is looked up once for all its notes. posted: ids of the notes its posted plan answers;
    sent: to whom a text was sent, and when it was written."""

    at: datetime
    cards: dict[str, ProcessCard]
    turns: tuple[KeptTurn, ...]
    weighed: frozenset[str]
    posted: frozenset[str]
    sent: tuple[tuple[str, datetime], ...]
    rung: dict[str, Rung | None]

    @classmethod
    def of(cls, book: Book, doing: Doing, week: Week) -> _Week:
        number = week_entry(book, week).posted
        posted = () if number is None else plan_numbered(book.plans, number).asked.notes
        texts = book.messages.where(plan=book.plans.numbers_of(week))
        return cls(
            at=doing.at,
            cards={each.id: each.card for each in book.cards.where()},
            turns=book.turns.where(week=week),
            weighed=frozenset(each.note_id for each in book.lots.where(week=week)),
            posted=frozenset(each.id for each in posted),
            sent=tuple((each.grower_id, each.written_at) for each in texts if each.sent_at),
            rung=_rung(book, week),
        )

    def reasons(self, notes: Collection[SeenNote]) -> Iterator[Reason]:
        for seen in notes:
            entry = seen.entry
            if entry.state in UNDECIDED and self._unanswered(entry):
                yield self._reason("no answer", entry)
            if entry.asks and seen.papers_short:
                mark = f"{crc32('; '.join(seen.papers_short).encode()):08x}"
                yield self._reason("papers short", entry, mark, papers=seen.papers_short)
            if self._did_not_come(entry):
                yield self._reason("did not come", entry)
            for each in self.turns:
                if each.note_id == entry.id and self._moved(each):
                    mark = f"{each.kind}-{each.subject.rpartition(' ')[2]}-{each.sequence}"
                    yield self._reason("turn moved", entry, mark, turn=each.turn)

    def _reason(self, why: Why, entry: NoteEntry, mark: str = "", **more: Any) -> Reason:
        name = "_".join(filter(None, (why.replace(" ", "-"), entry.id, mark)))
        return Reason(name, why, entry, self.cards[entry.card_id], rung=self.rung.get(name), **more)

    def _unanswered(self, entry: NoteEntry) -> bool:
        """Neither at once nor by a posted plan, which writes to all whom it answers."""
        told = (entry.answer or {}).get("outcome", NOT_ANSWERED)
        return told == NOT_ANSWERED and entry.id not in self.posted

    def _did_not_come(self, entry: NoteEntry) -> bool:
        """Said so at the door, or firm, every bringing turn over, and nothing weighed in."""
        if entry.state == "no-show":
            return True
        own = [each.turn for each in self.turns if each.note_id == entry.id]
        ends = [turn.end for turn in own if turn.kind == "bringing" and turn.stands]
        missing = entry.state == "firm" and entry.id not in self.weighed
        return missing and bool(ends) and max(ends) < self.at

    def _moved(self, kept: KeptTurn) -> bool:
        """Changed by the kitchen since it was first told, still to come, and no later text sent."""
        if kept.sequence == 0 or kept.state == "let go" or kept.end < self.at:
            return False
        return not any(
            whose == kept.whose and written >= kept.changed_at for whose, written in self.sent
        )


def _rung(book: Book, week: Week) -> dict[str, Rung | None]:
    """By reason, as it was said last."""
    names = {each.id: each.name for each in book.people.where()}
    found: dict[str, Rung | None] = {}
    for deed in book.deeds.where(act=str(Act.RING)):
        if deed.told["week"] == str(week):
            rung = None if deed.told["back"] else Rung(names.get(deed.by, deed.by), deed.at)
            found |= dict.fromkeys(deed.told["about"], rung)
    return found
