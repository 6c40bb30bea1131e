"""Rule 11 in the cold store: crates from arrival until cutting starts."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.domain.clock import Span
from scheduler.units import ceil_div
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.stations import down
from scheduler.verify.sweep import Levels, Use


def check(reading: Reading) -> Iterator[Fault]:
    """Never more crates than there are, and none while the cold store is down."""
    store = reading.asked.kitchen.cold_store
    uses = [
        Use(
            Span(each.placed.note.arrives, each.how.cut.start),
            each.placed,
            "kept cold",
            ceil_div(each.placed.charge.field_g, store.crate_g),
        )
        for each in reading.prepared
        if not each.placed.card.waits_outside_cold and each.placed.note.arrives < each.how.cut.start
    ]
    for excess in Levels((use.span, use.amount) for use in uses).excesses(store.crates):
        span = reading.say.when(excess.span)
        yield Fault(11, f"{store.id} would hold {excess.most} crates of {store.crates}, {span}")
    yield from down(reading, {store.id: uses})
