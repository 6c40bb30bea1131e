"""What every grower had of the kitchen so far: records of the posted weeks before one (goal B)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from api.records.plans import KeptPlan
from api.services.ports import Book
from api.services.roles import Act
from scheduler.domain.clock import Week
from scheduler.ledger import WEEKS, Record, records


def so_far(book: Book, week: Week) -> tuple[Record, ...]:
    """Of the last posted weeks before that one, in order of week."""
    entries = sorted(book.weeks.where(), key=lambda entry: entry.week)
    before = [entry for entry in entries if entry.posted is not None and entry.week < week]
    return tuple(
        record
        for entry in before[-WEEKS:]
        if entry.posted is not None
        for record in _records(book, entry.posted)
    )


def _records(book: Book, posted: int) -> tuple[Record, ...]:
    """Bumped is who had more in any plan that was posted for the week before its last."""
    kept = book.plans.find(posted)
    if kept is None:
        raise LookupError(posted)
    last = records(kept.asked, kept.plan)
    for number in posted_before(book, kept):
        earlier = book.plans.find(number)
        if earlier is not None:
            then = records(kept.asked, kept.plan, posted=earlier.plan)
            bumped = [max(a.bumped, b.bumped) for a, b in zip(last, then, strict=True)]
            last = tuple(replace(a, bumped=n) for a, n in zip(last, bumped, strict=True))
    return last


def posted_before(book: Book, kept: KeptPlan) -> Iterator[int]:
    """Numbers of the plans that were posted for the same week before."""
    for deed in book.deeds.where(subject=str(kept.plan.week), act=Act.POST):
        if deed.told["plan"] != kept.number:
            yield deed.told["plan"]
