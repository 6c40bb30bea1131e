"""What was written down by mistake is corrected by one more record, with who and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from api.records.happened import Happening
from api.records.notes import Lot, note_fields
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.handing_out import handed_out
from api.services.lots import lot
from api.services.notes import note
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.runs import KeptRun, begun_at, kept_runs, run_numbered
from api.services.versions import same_version
from api.services.weeks import notes_changed
from scheduler.domain.clock import Week
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams
from scheduler.wording import count


@dataclass(frozen=True, slots=True)
class Right:
    """How it was in truth: the weight at the door, or the bags packed."""

    weighed_g: Grams | None = None
    bags: int | None = None


def correct_lot(
    book: Book, doing: Doing, code: str, *, version: int, right: Right, why: str
) -> Lot:
    """The weight of a lot that is whole still, or the bags of one that is packed. What was written
    first stays in the record.

    NotNow where it has gone on since; BadInput where nothing or no reason is said.
    """
    found = lot(book, doing, code, Act.CORRECT)
    same_version(version, found.version, f"lot {code}")
    _must_say_why(why)
    if right.weighed_g is not None:
        return _weight(book, doing, found, right.weighed_g, why=why)
    if right.bags is None:
        raise _bad("bags", "must be filled in")
    if found.state != "packed":
        raise NotNow(f"lot {code} is {found.state}, not packed")
    out = sum(bags for _, bags in handed_out(book, code))
    if right.bags < out:
        raise NotNow(f"{count(out, 'bag')} of lot {code} have been handed out")
    return _keep(book, doing, replace(found, bags=right.bags), "packed",
                 {"bags": right.bags, "instead_of": found.bags, "why": why})  # fmt: skip


def _weight(book: Book, doing: Doing, found: Lot, weighed_g: Grams, *, why: str) -> Lot:
    if found.state != "raw":
        raise NotNow(f"lot {found.code} is {found.state}; its weight is no longer corrected")
    entry = note(book, doing, found.note_id, Act.CORRECT)
    first = book.happenings.where(subject=found.code, kind="at the door")[0].told["asked_g"]
    as_weighed = replace(entry.note, field_g=weighed_g)
    changed = replace(entry, **note_fields(as_weighed), version=entry.version + 1)
    book.notes.replace(changed)
    notes_changed(book, entry.week)
    told = {"asked_g": first, "weighed_g": weighed_g, "instead_of": found.weighed_g, "why": why}
    return _keep(book, doing, replace(found, weighed_g=weighed_g), "at the door", told)


def _keep(book: Book, doing: Doing, after: Lot, kind: Any, told: dict[str, Any]) -> Lot:
    kept = replace(after, version=after.version + 1)
    book.lots.replace(kept)
    by = doing.person.id
    book.happenings.add(Happening(kind, doing.at, by, kept.week, kept.code, told))
    keep_deed(book, doing, Act.CORRECT, kept.code, what=kind, **told)
    return kept


@dataclass(frozen=True, slots=True)
class RightTimes:
    """When a run started, ended or was unloaded in truth."""

    started: datetime | None = None
    ended: datetime | None = None
    unloaded: datetime | None = None


def correct_run(book: Book, doing: Doing, number: int, *, right: RightTimes, why: str) -> KeptRun:
    """Its times; NotNow where one was never written down. A run that began at another time is
    planned to dry for as long as before.

    BadInput for a time out of order, or without a reason.
    """
    found = run_numbered(book, doing, number, Act.CORRECT)
    _must_say_why(why)
    said = (
        ("start corrected", right.started, found.run.start),
        ("run ended", right.ended, found.ended),
        ("unloaded", right.unloaded, found.unloaded),
    )
    for kind, at, was in said:
        if at is not None and was is None:
            raise NotNow(f"run {number} is not on record as {kind.removeprefix('run ')}")
    _must_be_in_order(book, found, right, doing.at)
    for kind, at, was in said:
        if at is None or was is None:
            continue
        told = {"run": number, "instead_of": was.isoformat(), "why": why}
        week, dryer_id = found.week, found.run.dryer_id
        what: Any = kind
        book.happenings.add(Happening(what, at, doing.person.id, week, dryer_id, told))
        keep_deed(book, doing, Act.CORRECT, dryer_id, what=kind, at=at, **told)
    return run_numbered(book, doing, number, Act.CORRECT)


def _must_be_in_order(book: Book, found: KeptRun, right: RightTimes, now: datetime) -> None:
    """As it would be with all of them: after the run before it in its dryer was out, one after the
    other, before the next one there."""
    done = replace(
        found,
        run=begun_at(found.run, right.started),
        ended=right.ended or found.ended,
        unloaded=right.unloaded or found.unloaded,
    )
    start, until = done.run.start, min(now, _next_start(book, found, now))
    after = [each for each in (done.ended, done.unloaded, done.stopped) if each]
    out = _out_before(book, found)
    if right.started and not (out or start) <= start <= min([until, *after]):
        raise _bad("started", "is out of order with the rest")
    if right.ended and not start <= right.ended <= min(done.unloaded or until, until):
        raise _bad("ended", "is out of order with the rest")
    if right.unloaded and not done.as_it_was.end <= right.unloaded <= until:
        raise _bad("unloaded", "is out of order with the rest")


def _next_start(book: Book, found: KeptRun, now: datetime) -> datetime:
    """Of the next run on record in its dryer, which may be one of the week after; else now."""
    weeks = (found.week, Week.of(found.week.monday + timedelta(days=7)))
    starts = (
        each.run.start
        for week in weeks
        for each in kept_runs(book, week)
        if each.run.dryer_id == found.run.dryer_id and each.run.start > found.run.start
    )
    return min(starts, default=now)


def _out_before(book: Book, found: KeptRun) -> datetime | None:
    """When the run before it in its dryer was out, which may be one of the week before."""
    weeks = (Week.of(found.week.monday - timedelta(days=7)), found.week)
    outs = (
        each.unloaded or each.dried.end
        for week in weeks
        for each in kept_runs(book, week)
        if each.run.dryer_id == found.run.dryer_id and each.run.start < found.run.start
    )
    return max(outs, default=None)


def _must_say_why(why: str) -> None:
    if not why.strip():
        raise _bad("why", "must be filled in")


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault("correction", None, field, message),))
