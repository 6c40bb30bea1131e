"""Wash lines and tables: one charge at a time (rule 11), with change-overs between (rule 8)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Reading
from scheduler.verify.stations import down, one_at_a_time
from scheduler.verify.sweep import Use
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """Wash lines, then tables."""
    washing, cutting = defaultdict(list), defaultdict(list)
    for each in reading.prepared:
        washing[each.how.wash_line_id].append(Use(each.how.wash, each.placed, "washed"))
        for place in each.how.tables:
            cutting[place.table_id].append(Use(each.how.cut, each.placed, "cut"))
    for uses in (washing, cutting):
        yield from one_at_a_time(reading, uses)
        yield from down(reading, uses)
    changes = {group.id: int(group.change_over_s) for group in reading.asked.kitchen.groups}
    for table_id, at_table in cutting.items():
        yield from _change_overs(reading, table_id, uses=at_table, after_group=changes)


def _change_overs(
    reading: Reading, table_id: str, *, uses: Sequence[Use], after_group: dict[str, int]
) -> Iterator[Fault]:
    usual = reading.asked.kitchen.limits.change_over_s
    for first, second in pairwise(sorted(uses, key=lambda use: use.span)):
        needs = _change_over(first.placed, second.placed, after_group=after_group, usual=usual)
        has = reading.staffed.seconds(first.span.end, second.span.start)
        if second.span.start >= first.span.end and has < needs:
            message = (
                f"is cut at {table_id} {lasting(has)} after {first.placed.code}; the change-over "
                f"takes {lasting(needs)} of staffed time"
            )
            yield second.placed.fault(8, message)


def _change_over(first: Placed, second: Placed, *, after_group: dict[str, int], usual: int) -> int:
    same_grower = first.grower.id == second.grower.id
    after = after_group.get(first.card.group, 0)
    if after:
        return 0 if same_grower and first.card.group == second.card.group else after
    return 0 if same_grower else usual
