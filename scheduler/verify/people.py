"""Rule 12: growers come when able, to one place at a time; two people where steam, slicer run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from scheduler.domain.clock import Span
from scheduler.domain.plan import Duty
from scheduler.verify.fault import Fault
from scheduler.verify.hours import Hours
from scheduler.verify.reading import Prepared, Reading
from scheduler.verify.sweep import Levels, Use, clashes

_TWO = 2
_SLICER_FROM = 101  # percent of the pair's rate: 100 where a table has no slicer
_TOLD_ELSEWHERE = {("washed", "cut"), ("cut", "attended")}  # within a charge: rule 9, duties


def check(reading: Reading) -> Iterator[Fault]:
    """Growers first, then the people in the house."""
    at_work = _at_work(reading)
    for grower in reading.asked.growers:
        works = at_work.get(grower.id, [])
        yield from _one_place(reading, works)
        if works and (grower.cannot or grower.away):
            cannot = Hours(reading.asked.cannot_come(grower))
            for use in works:
                if cannot.meet(use.span):
                    when = reading.say.when(use.span)
                    message = f"is {use.what} {when}, when {grower.name} cannot come"
                    yield use.placed.fault(12, message)
    yield from _two_in_house(reading, at_work)


def _at_work(reading: Reading) -> Mapping[str, list[Use]]:
    """By grower: washing, cutting, attending a steamer, packing."""
    works: dict[str, list[Use]] = defaultdict(list)
    attending: dict[str, list[Duty]] = defaultdict(list)
    for duty in reading.plan.duties:
        if duty.work == "steam":
            attending[duty.subject].append(duty)
    for each in reading.prepared:
        placed = each.placed
        spans = [("washed", each.how.wash), ("cut", each.how.cut)]
        mine = (duty for duty in attending[placed.code] if duty.who == placed.grower.id)
        spans += [("attended", duty.span) for duty in mine]
        works[placed.grower.id] += [Use(span, placed, what) for what, span in spans]
    for placed in reading.placed if reading.rules.packing else ():
        if placed.charge.after:
            works[placed.grower.id].append(Use(placed.charge.after.packing, placed, "packed"))
    return works


def _one_place(reading: Reading, works: list[Use]) -> Iterator[Fault]:
    for first, second in clashes(works):
        same = first.placed.code == second.placed.code
        if not (same and (first.what, second.what) in _TOLD_ELSEWHERE):
            message = (
                f"is {second.what} from {reading.say.at(second.span.start)}, while "
                f"{second.placed.grower.name} has {first.placed.code} {first.what} until "
                f"{reading.say.at(first.span.end)}"
            )
            yield second.placed.fault(12, message)


def _two_in_house(reading: Reading, at_work: Mapping[str, list[Use]]) -> Iterator[Fault]:
    kitchen, days = reading.asked.kitchen, reading.asked.days
    present = [(shift, 1) for hand in kitchen.hands for shift in kitchen.shifts(hand, days)]
    present += [(use.span, use.placed.grower.people) for works in at_work.values() for use in works]
    people = Levels(present)
    for each in reading.prepared:
        alone = (people.first_below(_TWO, span=span) for span in _running(reading, each))
        instant = next((each for each in alone if each), None)
        if instant:
            when = reading.say.at(instant)
            message = f"runs a steamer or the slicer {when} with fewer than two people in the house"
            yield each.placed.fault(12, message)


def _running(reading: Reading, each: Prepared) -> Iterator[Span]:
    """When a steamer or a slicer runs for a charge."""
    for load in each.loads:
        yield Span(load.start, load.end)
    tables = (reading.tables.get(place.table_id) for place in each.how.tables)
    sliced = any(table and table.slicer_percent >= _SLICER_FROM for table in tables)
    if sliced and each.placed.card.takes_slicer:
        yield each.how.cut
