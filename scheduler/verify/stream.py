"""Rule 9: washing feeds cutting, cutting feeds steaming, and nothing waits too long to dry."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from scheduler.domain.plan import GROWER, HANDS
from scheduler.process.work import seconds_for
from scheduler.units import Grams
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Prepared, Reading
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """Each charge's way from the wash line to its last rack."""
    for placed in reading.placed:
        if placed.charge.preparation is None:
            yield placed.fault(9, "has no washing, cutting and racking planned")
    for each in reading.prepared:
        yield from _washing(reading, each)
        yield from _crews(each)
        yield from _cutting(reading, each)
        yield from _last_rack(reading, each)
        if each.loads:
            yield from _baskets(reading, each)
        yield from _to_dryer(reading, each)


def _washing(reading: Reading, each: Prepared) -> Iterator[Fault]:
    how, placed = each.how, each.placed
    if how.wash.end > how.cut.start:
        ends, starts = reading.say.at(how.wash.end), reading.say.at(how.cut.start)
        yield placed.fault(9, f"is cut from {starts}, before its washing ends {ends}")
    rates = {line.id: line.g_per_h for line in reading.asked.kitchen.wash_lines}
    if how.wash_line_id in rates:
        needs = seconds_for(placed.charge.field_g, rates[how.wash_line_id])
        if 0 <= how.wash.seconds < needs:
            has = lasting(how.wash.seconds)
            yield placed.fault(9, f"is washed in {has}; its weight takes {lasting(needs)}")


def _crews(each: Prepared) -> Iterator[Fault]:
    crews = [place.crew for place in each.how.tables]
    if crews.count(GROWER) != 1:
        yield each.placed.fault(9, f"has its grower at {crews.count(GROWER)} tables, not at one")
    for crew in set(crews) - {GROWER, HANDS}:
        yield each.placed.fault(9, f"is cut by {crew}, who is neither its grower nor kitchen hands")


def _cutting(reading: Reading, each: Prepared) -> Iterator[Fault]:
    places = [reading.tables.get(place.table_id) for place in each.how.tables]
    if not places or None in places:
        return
    percent = sum(_percent(each.placed, table.slicer_percent) for table in places if table)
    field_g = Grams(each.placed.charge.field_g * 100)
    needs = seconds_for(field_g, each.placed.card.pair_g_per_h * percent)
    if 0 <= each.how.cut.seconds < needs:
        has = lasting(each.how.cut.seconds)
        yield each.placed.fault(9, f"is cut in {has}; its crews take {lasting(needs)}")


def _percent(placed: Placed, slicer_percent: int) -> int:
    return slicer_percent if placed.card.takes_slicer else 100


def _last_rack(reading: Reading, each: Prepared) -> Iterator[Fault]:
    if bool(each.loads) != bool(each.placed.card.steam_s):
        return  # rule 10 tells
    last = max((load.chilled for load in each.loads), default=each.how.cut.end)
    racked = last + timedelta(seconds=reading.asked.kitchen.limits.last_rack_s)
    if each.how.last_rack != racked:
        planned, due = reading.say.at(each.how.last_rack), reading.say.at(racked)
        yield each.placed.fault(9, f"has its last rack filled {planned}; that is done {due}")


def _baskets(reading: Reading, each: Prepared) -> Iterator[Fault]:
    """Load j of n against the basket cut at j/n of the cutting, in whole numbers."""
    n, span = len(each.loads), each.how.cut.seconds
    most = reading.asked.kitchen.limits.cut_to_steam_s
    for j, load in enumerate(each.loads, start=1):
        waited = int((load.start - each.how.cut.start).total_seconds()) * n - j * span
        if waited < 0:
            told = "before it is cut"
        elif waited > most * n and reading.rules.waits:
            told = f"{lasting(waited // n)} after it was cut; {lasting(most)} at most"
        else:
            continue
        steamed = reading.say.at(load.start)
        yield each.placed.fault(9, f"has basket {j} of {n} steamed from {steamed}, {told}")


def _to_dryer(reading: Reading, each: Prepared) -> Iterator[Fault]:
    if not reading.rules.waits or bool(each.loads) != bool(each.placed.card.steam_s):
        return
    limits, start = reading.asked.kitchen.limits, each.placed.run.start
    if each.loads:
        what, most = "the end of its first steaming", limits.steam_to_dryer_s
        since = min(load.steamed for load in each.loads)
    else:
        what, most, since = "the start of its cutting", limits.cut_to_dryer_s, each.how.cut.start
    wait = (start - since).total_seconds()
    if wait > most:
        message = f"starts drying {lasting(wait)} after {what}; {lasting(most)} at most"
        yield each.placed.fault(9, message)
