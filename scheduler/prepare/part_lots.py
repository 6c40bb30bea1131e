"""What the part-lots of the promised plan take: dryers with their turn-round, and power."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import PartLot
from scheduler.prepare.calendar import Calendar
from scheduler.started import dried_on, stopped_early
from scheduler.units import GRID, ceil_div


def part_runs(asked: Asked) -> set[tuple[str, datetime, datetime]]:
    """Dryer, start and end of each run in which part-lots dry on and that is not on record."""
    plan = asked.promised.plan
    if plan is None:
        return set()
    runs = {each.dries_on for each in plan.part_lots} - set(dried_on(asked, plan).values())
    return {(each.dryer_id, each.start, stopped_early(asked, each)) for each in runs if each}


def for_part_lots(asked: Asked, calendar: Calendar, dryer: Dryer) -> Iterator[tuple[int, int]]:
    """Ticks in which nothing else is in that dryer (rules 8 and 20).

    Before the run as much is left as the turn-round of the run before may need, whenever that is
    unloaded, and a wash-down where any group would ask for one; likewise after it.
    """
    late = max(0, ceil_div(asked.kitchen.limits.unloaded_within_s - 2 * dryer.unload_s, GRID))
    turn, wash = ceil_div(dryer.turn_round_s, GRID), ceil_div(dryer.wash_down_s, GRID)
    for part in asked.promised.plan.part_lots if asked.promised.plan else ():
        run, own = part.dries_on, asked.kitchen.group(_group(asked, part))
        if run is not None and run.dryer_id == dryer.id:
            dirty = any(own.id in each.wash_down_before for each in asked.kitchen.groups)
            begins = calendar.staffed_time(calendar.down(run.start)) - turn - late - wash * dirty
            out = calendar.staffed_time(calendar.up(stopped_early(asked, run))) + turn
            free = out + wash * bool(own.wash_down_before)
            yield calendar.at_staffed_time(max(0, begins)), calendar.at_staffed_time(free)


def _group(asked: Asked, part: PartLot) -> str:
    return asked.card(asked.note(part.note_id).card_id).group
