"""Tonight as it stands: what runs in which dryer, on record or as planned, and whom to ring."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise

from api.records.happened import OutageEntry
from api.services.asking import asked_of, with_begun
from api.services.outages import outage
from api.services.plans import standing
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, kept_runs
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, Week
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import Happened
from scheduler.domain.plan import Plan, Run
from scheduler.dryer_down import InDryer, kept_cold
from scheduler.errors import NoSuchPlan
from scheduler.started import all_runs

LOOKS = timedelta(days=8)  # how far around now a night may begin or end
HALF_A_DAY = timedelta(hours=12)
STILL_TONIGHT = timedelta(days=1)  # so long who is on call may read what was in a stopped dryer
MANAGER = "manager"


@dataclass(frozen=True, slots=True)
class Contact:
    """Somebody to ring. telephone: "" where the book does not know it. tonight: on call now."""

    name: str
    telephone: str
    tonight: bool
    manager: bool


@dataclass(frozen=True, slots=True)
class Night:
    """The night that it is, or that comes next. hours: closing to opening, None where no opening is
    known. standing: all runs around it. down: outages of now, in order of stopping."""

    at: datetime
    kitchen: Kitchen
    hours: Span | None
    standing: tuple[InDryer, ...]
    down: tuple[OutageEntry, ...]
    contacts: tuple[Contact, ...]

    @property
    def stopped(self) -> frozenset[str]:
        return frozenset(each.station_id for each in self.down)


def tonight(book: Book, doing: Doing) -> Night:
    """For the keyholder and the house; NoSuchPlan in a book without kitchen and plan."""
    must(doing, Act.READ_NIGHT_SHEET)
    return _night(book, doing.at)


def house_at(book: Book, at: datetime) -> Night:
    """The house as it stands then, for other use cases; who may read it they have asked."""
    return _night(book, at)


def night_of(book: Book, doing: Doing, number: int) -> tuple[OutageEntry, Night | None]:
    """A stop, and the house as it stood at that instant; who is on call reads that of tonight only:
    None for her afterwards."""
    reach = must(doing, Act.READ_NIGHT_SHEET)
    entry = outage(book, doing, number)
    if reach == "tonight" and is_past(entry, doing.at):
        return entry, None
    return entry, _night(book, min(entry.stopped, doing.at), now=doing.at)


def is_past(entry: OutageEntry, at: datetime) -> bool:
    """Whether it has been up again for more than a day."""
    return entry.back is not None and entry.back + STILL_TONIGHT < at


def week_inside(house: Night, stop: OutageEntry) -> Week:
    """The week of the run that stopped, which may have begun on the Sunday before; that of the stop
    where none did."""
    inside = (
        each.asked.week
        for each in reversed(house.standing)
        if each.run.dryer_id == stop.station_id and each.run.start <= stop.stopped < each.run.end
    )
    return next(inside, Week.of(_day(house.kitchen, stop.stopped)))


def _night(book: Book, at: datetime, *, now: datetime | None = None) -> Night:
    """now: whom to ring, and what is down; at: what stands where."""
    kitchen = _kitchen(book)
    hours = _hours(kitchen, now or at)
    weeks = sorted({Week.of(_day(kitchen, at + step)) for step in (-LOOKS / 2, timedelta(), LOOKS)})
    found = tuple(each for week in weeks for each in _standing(book, week, at))
    return Night(
        at=at,
        kitchen=kitchen,
        hours=hours,
        standing=tuple(_emptied(found)),
        down=tuple(each for each in book.outages.where() if _is_down(each, now or at)),
        contacts=tuple(_contacts(kitchen, _evening(kitchen, hours, now or at))),
    )


def _emptied(found: tuple[InDryer, ...]) -> Iterator[InDryer]:
    """In order of start. One that nobody has unloaded is out when the next one there starts."""
    ordered = sorted(found, key=lambda each: (each.run.start, each.run.dryer_id))
    for place, each in enumerate(ordered):
        later = (
            other.run.start
            for other in ordered[place + 1 :]
            if other.run.dryer_id == each.run.dryer_id
        )
        yield replace(each, out=next(later, None)) if each.out is None else each


def _is_down(entry: OutageEntry, at: datetime) -> bool:
    return entry.stopped <= at and (entry.back is None or at < entry.back)


def _kitchen(book: Book) -> Kitchen:
    """The one in force, else that of the newest plan."""
    settings, newest = book.settings.last(), book.plans.newest()
    if settings is not None:
        return settings.kitchen
    if newest is None:
        raise NoSuchPlan("the book has neither a kitchen nor a plan yet")
    return newest.asked.kitchen


def _day(kitchen: Kitchen, at: datetime) -> date:
    return at.astimezone(kitchen.zone).date()


def _hours(kitchen: Kitchen, at: datetime) -> Span | None:
    """The first closed stretch, from the last closing of a day to an opening on another, that has
    not ended yet."""
    first = _day(kitchen, at - LOOKS)
    days = [first + timedelta(days=each) for each in range(2 * LOOKS.days + 1)]
    staffed = kitchen.staffed_spans(days)
    nights = (
        Span(before.end, after.start)
        for before, after in pairwise(staffed)
        if _day(kitchen, before.start) != _day(kitchen, after.start)
    )
    return next((each for each in nights if each.end > at), None)


def _evening(kitchen: Kitchen, hours: Span | None, at: datetime) -> date:
    """The day whose night it is: it lasts until noon where the kitchen stays closed for longer."""
    late = _day(kitchen, at - HALF_A_DAY)
    return late if hours is None else max(_day(kitchen, hours.start), late)


def _contacts(kitchen: Kitchen, evening: date) -> Iterator[Contact]:
    """Who is on call tonight first, then the manager, then who is on call on other nights."""
    numbers = {each.name: each.telephone for each in kitchen.on_call}
    managers = [each.name for each in kitchen.hands if each.role == MANAGER]
    on = [each.name for each in kitchen.on_call if each.weekday == evening.weekday()]
    for name in dict.fromkeys((*on, *managers, *numbers)):
        yield Contact(name, numbers.get(name, ""), name in on, name in managers)


def _standing(book: Book, week: Week, at: datetime) -> Iterator[InDryer]:
    """The week's runs: those on record as they were, the others as the plan has them."""
    kept, recorded = standing(book, week), kept_runs(book, week)
    plan = Plan(week, "full", (), ()) if kept is None else kept.plan
    asked = _asked(book, week, at, None if kept is None else kept.asked)
    if asked is None:
        return
    begun = _begun(book, week, None if kept is None else kept.number)
    begun |= {run.id for run in plan.runs if any(_at_that_time(run, each) for each in recorded)}
    runs = tuple(each.run for each in recorded)
    happened = Happened(at, runs if kept is None else with_begun(runs, kept))
    coming = replace(plan, runs=tuple(each for each in plan.runs if each.id not in begun))
    posted = kept is not None and kept.state not in ("rough", "pencilled")
    on_record = {f"started {place}": each for place, each in enumerate(recorded, 1)}
    for run in all_runs(replace(asked, happened=happened), coming):
        known = on_record.get(run.id)
        if known is None:
            out = run.released if run.unload is None else run.unload.end
            yield InDryer(asked, run, False, out, posted, plan.part_lots)
        else:
            own = _as_recorded(run, known, plan)
            yield InDryer(asked, own, True, known.unloaded, part_lots=plan.part_lots)
    yield from kept_cold(asked, plan.part_lots)


def _asked(book: Book, week: Week, at: datetime, planned: Asked | None) -> Asked | None:
    """With every note that the plan or a record may name."""
    if book.settings.last() is None:
        return planned
    fresh = asked_of(book, week, now=at)
    known = {each.id for each in fresh.notes}
    more = () if planned is None else (each for each in planned.notes if each.id not in known)
    return replace(fresh, notes=(*fresh.notes, *more))


def _begun(book: Book, week: Week, number: int | None) -> set[str]:
    """The runs of that plan that are on record as started."""
    return {
        str(each.told.get("planned"))
        for each in book.happenings.where(week=week, kind="run started")
        if each.told.get("plan") == number
    }


def _at_that_time(run: Run, known: KeptRun) -> bool:
    """Whether the dryer has been in another run, on record, when that one was planned."""
    was = known.as_it_was
    same = was.dryer_id == run.dryer_id
    return same and Span(was.start, was.end).overlaps(Span(run.start, run.end))


def _as_recorded(run: Run, known: KeptRun, plan: Plan) -> Run:
    """With the end that was seen, and the charges as planned where they are the same lots."""
    lots = {each.note_id: each.racks for each in run.charges}
    planned = next(
        (
            each
            for each in plan.runs
            if each.dryer_id == run.dryer_id
            and {charge.note_id: charge.racks for charge in each.charges} == lots
        ),
        None,
    )
    end = known.ended or run.end
    released = run.released if known.ended is None else end
    charges = run.charges if planned is None else planned.charges
    return replace(run, end=end, released=max(end, released), charges=charges)
