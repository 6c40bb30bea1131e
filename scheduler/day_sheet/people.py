"""Who is in the house that day, and whose papers are short."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scheduler.day_sheet.context import Context
from scheduler.day_sheet.sheet import InTheHouse, Line, PapersShort, Visit
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Charge
from scheduler.papers import days_of
from scheduler.papers import papers_short as short_on


def in_the_house(day: Context, lines: Iterable[Line]) -> tuple[InTheHouse, ...]:
    """Hands on shift in the kitchen file's order, then growers in order of coming."""
    return (
        *_hands(day),
        *sorted(_growers(day, list(lines)), key=lambda each: each.visits[0].start),
    )


def _hands(day: Context) -> Iterator[InTheHouse]:
    for hand in day.asked.kitchen.hands:
        shifts = day.asked.kitchen.shifts(hand, (day.day,))
        visits = tuple(Visit(day.local(each.start), day.local(each.end), "") for each in shifts)
        if visits:
            yield InTheHouse(hand.name, "", 1, visits)


def _growers(day: Context, lines: list[Line]) -> Iterator[InTheHouse]:
    for grower in day.asked.growers:
        own_notes = {note.id for note in day.asked.notes if note.grower_id == grower.id}
        stays = [*_brings(own_notes, lines), *_prepares(day, own_notes), *_packs(day, own_notes)]
        if stays:
            visits = tuple(joined(sorted(stays, key=lambda each: (each.start, each.end))))
            yield InTheHouse(grower.name, grower.farm, grower.people, visits)


def _brings(notes: set[str], lines: list[Line]) -> Iterator[Visit]:
    for line in lines:
        if line.act == "weigh in" and line.lots[0].code in notes:
            yield Visit(line.at, line.at, f"brings {line.lots[0].code}")


def _prepares(day: Context, notes: set[str]) -> Iterator[Visit]:
    """Washing, cutting and attending a steamer, each on its own day: a lot may wait overnight."""
    for _, charge in day.plan.charges():
        if charge.preparation and charge.note_id in notes:
            spans = (charge.preparation.wash, charge.preparation.cut, *_attending(day, charge))
            for span in spans:
                if day.today(span.start):
                    start, end = day.local(span.start), day.local(span.end)
                    yield Visit(start, end, f"prepares {charge.code}")


def _attending(day: Context, charge: Charge) -> Iterator[Span]:
    """When the grower's own pair attends a steamer for that charge."""
    grower_id = day.asked.note(charge.note_id).grower_id
    return (
        duty.span
        for duty in day.plan.duties
        if duty.work == "steam" and duty.subject == charge.code and duty.who == grower_id
    )


def _packs(day: Context, notes: set[str]) -> Iterator[Visit]:
    for _, charge in day.plan.charges():
        packing = day.packs(charge)
        if packing and charge.note_id in notes:
            start, end = day.local(packing.start), day.local(packing.end)
            yield Visit(start, end, f"packs {charge.code}")


def joined(visits: Iterable[Visit]) -> Iterator[Visit]:
    """Visits that touch or overlap, as one."""
    held: Visit | None = None
    for visit in visits:
        if held and visit.start <= held.end:
            known = visit.what in held.what.split(", ")
            what = held.what if known else f"{held.what}, {visit.what}"
            held = Visit(held.start, max(held.end, visit.end), what)
            continue
        if held:
            yield held
        held = visit
    if held:
        yield held


def papers_short(day: Context, lines: Iterable[Line]) -> tuple[PapersShort, ...]:
    """The day's lots whose grower or process card is out of date on a day of their turns (rule 15);
    of lots without a place, on this day."""
    note_ids = {lot.code.split()[0] for line in lines for lot in line.lots}
    found = []
    for note in day.asked.notes:
        missing = _missing(day, note) if note.id in note_ids else ()
        if missing:
            found.append(PapersShort(day.label(note.id), missing))
    return tuple(found)


def _missing(day: Context, note: HarvestNote) -> tuple[str, ...]:
    days = days_of(day.asked, day.plan, note) or (day.day,)
    return short_on(day.grower(note.id), day.card(note.id), days)
