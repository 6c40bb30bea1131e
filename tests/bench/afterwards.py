"""The book is read after the kills: what was acknowledged against what stands in it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.records.notes import NoteEntry
from api.records.plans import STANDS, KeptPlan
from api.records.told import Deed
from api.services.ports import Book
from api.services.roles import Act
from scheduler.domain.clock import Week
from scheduler.turns import turns_of
from scheduler.verify import verify
from tests.bench.clients import Acknowledged, Heard

POSTED = ("posted", "closed")


@dataclass(frozen=True, slots=True)
class Found:
    """Breaches, each told in words, and how many writes were answered again, not done again."""

    double_promises: tuple[str, ...]
    lost: tuple[str, ...]
    repeated: tuple[str, ...]
    trail: tuple[str, ...]
    answered_again: int

    @property
    def breaches(self) -> tuple[str, ...]:
        return self.double_promises + self.lost + self.repeated + self.trail


def read(book: Book, heard: Sequence[Heard], weeks: Sequence[Week]) -> Found:
    """Every client must have been answered on all that she asked."""
    noted = [each for one in heard for each in one.noted]
    let_go = [each for one in heard for each in one.let_go]
    posted = [each for one in heard for each in one.posted]
    doubles = [told for week in weeks for told in _promises(book, week, posted)]
    kept = book.notes.where(week=tuple(weeks))
    lost, repeated = _notes(kept, noted, let_go)
    deeds = book.deeds.where()
    trail = [told for week in weeks for told in _versions(book, week, noted, let_go)]
    again = 0
    for act, told in ((Act.NOTE, noted), (Act.CHANGE_NOTE, let_go), (Act.POST, posted)):
        did = [each for each in deeds if each.act == act]
        trail += _trail(act, did, told)
        tried = {each.what: each.tried for each in told}
        again += sum(_what(each) in tried and each.at < tried[_what(each)] for each in did)
    return Found(tuple(doubles), tuple(lost), tuple(repeated), tuple(trail), again)


def _notes(
    kept: Sequence[NoteEntry], noted: Iterable[Acknowledged], let_go: Iterable[Acknowledged]
) -> tuple[list[str], list[str]]:
    """What was lost, what is there twice or was never acknowledged."""
    told, there = Counter(each.remark for each in noted), Counter(each.remark for each in kept)
    states = {each.id: (each.remark, each.state) for each in kept}
    gone = {each.what: each.remark for each in let_go}
    lost = [f"note {remark} is not there" for remark in told - there]
    for each in noted:
        remark, state = states.get(each.what, ("", ""))
        if remark != each.remark:
            lost.append(f"note {each.what} of {each.remark} is another one")
        elif each.what in gone and state != "let go":
            lost.append(f"note {each.what} was let go and is {state}")
        elif each.what not in gone and state == "let go":
            lost.append(f"note {each.what} is let go and nobody did")
    return lost, [f"note {remark} is there more often than told" for remark in there - told]


def _promises(book: Book, week: Week, posted: Iterable[Acknowledged]) -> list[str]:
    """One plan stands, it breaks no rule, and what growers are promised is what it says."""
    numbers = book.plans.numbers_of(week)
    plans = [plan for number in numbers if (plan := book.plans.find(number)) is not None]
    standing = [each for each in plans if each.state == "posted"]
    entry = book.weeks.find(week)
    found = []
    if [each.number for each in standing] != ([entry.posted] if entry and entry.posted else []):
        found.append(f"{week} stands on plans {[each.number for each in standing]}")
    stood = [each for each in plans if each.state in POSTED]
    if {str(each.number) for each in stood} != {each.what for each in posted if each.week == week}:
        found.append(f"{week}: other plans were posted than acknowledged")
    if len({each.origin.posted for each in stood}) != len(stood):
        found.append(f"{week}: two plans were posted in the place of the same one")
    for plan in standing:
        found += [f"plan {plan.number}: {fault}" for fault in verify(plan.asked, plan.plan)]
        found += _turns(book, plan)
    return found


def _turns(book: Book, kept: KeptPlan) -> list[str]:
    """The turns that stand are those of the plan, less those of notes that ended since."""
    week = kept.plan.week
    asking = {each.id for each in book.notes.where(week=week) if each.asks}
    of_plan = turns_of(kept.asked, kept.plan, at=kept.laid_out_at, firm=asking)
    wanted = {(each.uid, each.start, each.end) for each in of_plan if each.note_id in asking}
    turns = book.turns.where(week=week, state=STANDS)
    promised = {(each.uid, each.start, each.end) for each in turns}
    return [f"turn {uid} is promised otherwise than planned" for uid, *_ in promised ^ wanted]


def _versions(
    book: Book, week: Week, noted: Iterable[Acknowledged], let_go: Iterable[Acknowledged]
) -> list[str]:
    """Every change counted the week's notes on by one."""
    wanted = sum(each.week == week for each in (*noted, *let_go))
    entry = book.weeks.find(week)
    version = entry.notes_version if entry else 0
    return [f"{week}: {wanted} changes, version {version}"] if version != wanted else []


def _trail(act: Act, deeds: Iterable[Deed], told: Iterable[Acknowledged]) -> list[str]:
    """Each acknowledged write stands in the trail once, and nothing else does."""
    there, wanted = Counter(map(_what, deeds)), Counter(each.what for each in told)
    differs = (there - wanted) + (wanted - there)
    return [f"{act} {what}: {there[what]} deeds, {wanted[what]} told" for what in differs]


def _what(deed: Deed) -> str:
    return str(deed.told["plan"]) if deed.act == Act.POST else deed.subject
