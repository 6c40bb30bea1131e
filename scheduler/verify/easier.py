"""Rules 5 and 14 in the easier reading: lots whole or in equal parts, all of them or none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.process.racks import racks_needed
from scheduler.verify.fault import Fault
from scheduler.verify.rack_space import check_positions
from scheduler.verify.reading import Placed, Reading
from scheduler.verify.splitting import check_waiting, lettered

_MOST_PARTS = 3


def check_racks(reading: Reading) -> Iterator[Fault]:
    """Rule 5: each part has the racks that the heaviest of the equal parts needs: by a gram, that
    may be one more than a lighter one needs."""
    yield from check_positions(reading)
    for charges in reading.of_note.values():
        heaviest = max(placed.charge.prepared_g for placed in charges)
        for placed in charges:
            needed = racks_needed(
                heaviest, placed.card.g_per_m2, rack_area_cm2=placed.dryer.rack_area_cm2
            )
            if placed.charge.racks != needed:
                yield placed.fault(5, f"needs {needed} racks and has {placed.charge.racks}")


def check_parts(reading: Reading) -> Iterator[Fault]:
    """Rule 14: parts of equal weight, to the gram, that make up the whole lot."""
    for charges in reading.of_note.values():
        yield from lettered(charges)
        yield from _equal(reading, charges)
    yield from check_waiting(reading)


def _equal(reading: Reading, charges: Sequence[Placed]) -> Iterator[Fault]:
    first, parts = charges[0], len(charges)
    weights = [placed.charge.prepared_g for placed in charges]
    fields = [placed.charge.field_g for placed in charges]
    if parts > _MOST_PARTS:
        yield first.fault(14, f"is one of {parts} parts; {_MOST_PARTS} are the most")
    elif (sum(weights), sum(fields)) != (first.whole_g, first.note.field_g):
        placed, whole = reading.say.weight(sum(weights)), reading.say.weight(first.whole_g)
        message = f"belongs to a lot of {whole}, all of it or none; {placed} have a place"
        yield first.fault(14, message)
    elif max(weights) - min(weights) > 1 or max(fields) - min(fields) > 1:
        yield first.fault(14, "belongs to a lot whose parts are not of equal weight")
