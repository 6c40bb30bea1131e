"""Steamers and chill tubs have a number: rule 10 in the steamers, rule 11 in the tubs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from scheduler.domain.clock import Span
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.stations import down, one_at_a_time
from scheduler.verify.sweep import Levels, Use


def check(reading: Reading) -> Iterator[Fault]:
    """One load at a time in a steamer; a tub never over its weight; none used while down."""
    steaming, chilling = defaultdict(list), defaultdict(list)
    for each in reading.prepared:
        for load in each.loads:
            steamed, chilled = Span(load.start, load.end), Span(load.end, load.chilled)
            steaming[load.steamer_id].append(Use(steamed, each.placed, "steamed"))
            chilling[load.tub_id].append(Use(chilled, each.placed, "chilled", load.grams))
    yield from one_at_a_time(reading, steaming, rule=10)
    for tub in reading.asked.kitchen.chill_tubs:
        inside = Levels((use.span, use.amount) for use in chilling.get(tub.id, ()))
        for excess in inside.excesses(tub.holds_g):
            holds, limit = reading.say.weight(excess.most), reading.say.weight(tub.holds_g)
            when = reading.say.when(excess.span)
            yield Fault(11, f"Chill tub {tub.id} holds {holds} of {limit}, {when}")
    for uses in (steaming, chilling):
        yield from down(reading, uses)
