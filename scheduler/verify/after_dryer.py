"""Rule 17: cooling, dry check, rest and packing, in that order and in time; rule 11 at benches."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta

from scheduler.domain.plan import AfterDryer
from scheduler.process.work import packing_seconds
from scheduler.process.yields import bags, dried_g
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Reading
from scheduler.verify.stations import down, one_at_a_time
from scheduler.verify.sweep import Use
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """Each charge from the end of its unloading to its bags."""
    for placed in reading.placed:
        after = placed.charge.after
        if after is None:
            yield placed.fault(17, "has no dry check and packing turn planned")
        else:
            if placed.run.unload:
                yield from _dry_check(reading, placed, after=after, unloaded=placed.run.unload.end)
                yield from _packing(reading, placed, after=after, unloaded=placed.run.unload.end)
            yield from _bags(reading, placed, after=after)


def check_benches(reading: Reading) -> Iterator[Fault]:
    """Rule 11: one charge at a time at a bench; none used while it is down."""
    packing = defaultdict(list)
    for placed in reading.placed:
        if placed.charge.after:
            use = Use(placed.charge.after.packing, placed, "packed")
            packing[placed.charge.after.bench_id].append(use)
    yield from one_at_a_time(reading, packing)
    yield from down(reading, packing)


def _dry_check(
    reading: Reading, placed: Placed, *, after: AfterDryer, unloaded: datetime
) -> Iterator[Fault]:
    limits = reading.asked.kitchen.limits
    ready = unloaded + timedelta(seconds=limits.cool_s + limits.sample_closed_s)
    if after.dry_check.start < ready:
        starts, due = reading.say.at(after.dry_check.start), reading.say.at(ready)
        message = f"is dry-checked {starts}; it has cooled and its sample stood closed {due}"
        yield placed.fault(17, message)
    if 0 <= after.dry_check.seconds < limits.dry_check_s:
        has, needs = lasting(after.dry_check.seconds), lasting(limits.dry_check_s)
        yield placed.fault(17, f"is dry-checked in {has}; it takes {needs}")


def _packing(
    reading: Reading, placed: Placed, *, after: AfterDryer, unloaded: datetime
) -> Iterator[Fault]:
    starts = reading.say.at(after.packing.start)
    rested = unloaded + timedelta(seconds=placed.card.rest_s)
    latest = unloaded + timedelta(seconds=placed.card.pack_within_s)
    if after.packing.start < after.dry_check.end:
        yield placed.fault(17, f"is packed {starts}, before its dry check is done")
    elif after.packing.start < rested:
        yield placed.fault(17, f"is packed {starts}, before it has rested {reading.say.at(rested)}")
    if after.packing.end > latest:
        ends, limit = reading.say.at(after.packing.end), reading.say.at(latest)
        yield placed.fault(17, f"is packed by {ends}, after its re-wetting limit {limit}")


def _bags(reading: Reading, placed: Placed, *, after: AfterDryer) -> Iterator[Fault]:
    card = placed.card
    dried = dried_g(
        placed.charge.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
    )
    fills = bags(dried, card.bag_g)
    if after.bags != fills:
        yield placed.fault(17, f"is to fill {after.bags} bags; its dried weight fills {fills}")
    rates = {bench.id: bench.bags_per_h for bench in reading.asked.kitchen.benches}
    needs = packing_seconds(fills, rates[after.bench_id]) if after.bench_id in rates else 0
    if 0 <= after.packing.seconds < needs:
        has = lasting(after.packing.seconds)
        yield placed.fault(17, f"is packed in {has}; {fills} bags take {lasting(needs)}")
