"""Where racks that failed their dry check may dry on, and when they could be packed after that."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, seconds_within
from scheduler.domain.kitchen import Dryer
from scheduler.domain.plan import Charge
from scheduler.domain.process_card import ProcessCard
from scheduler.dryer_down import InDryer, Room, rooms_for
from scheduler.units import GRID, Racks, Seconds, ceil_div

Why = Literal["", "down", "group", "set point", "racks", "next run", "night end", "closed"]


@dataclass(frozen=True, slots=True)
class Way:
    """A further run of the same racks in one dryer, its own or another.

    start: as soon as that dryer is free and the kitchen staffed. released: when it may be unloaded.
    stretched: it dries on until its cool hold is no longer than the kitchen allows (rule 3).
    why: what is in the way (rules 3, 5, 6 and 8); "" where nothing is. until: the next run there.
    """

    dryer: Dryer
    racks: Racks
    start: datetime
    end: datetime
    released: datetime
    wash_down: bool
    stretched: bool
    until: datetime | None
    why: Why


def ways_back(
    own: InDryer,
    charge: Charge,
    standing: Sequence[InDryer],
    *,
    at: datetime,
    dries_s: Seconds,
    down: Collection[str] = (),
) -> tuple[Way, ...]:
    """For each dryer one, what is possible first, then what is out first.

    own: the run that the charge came out of. dries_s: how much longer it is to dry. down: dryers
    that stand still. Source: rules 2, 3, 5, 6 and 8.
    """
    start = _staffed_from(own.asked, at)
    rooms = (
        replace(room, racks=_racks(own, charge, room.dryer))
        for room in rooms_for(own, charge, standing, at=start or at, down=down)
    )
    ways = (_way(own.asked, room, start, dries_s=dries_s, at=at) for room in rooms)
    return tuple(sorted(ways, key=lambda each: (bool(each.why), each.released, each.dryer.id)))


def _racks(own: InDryer, charge: Charge, dryer: Dryer) -> Racks:
    """As many as give the same area: it lies as thick as it did."""
    area = own.asked.kitchen.dryer(own.run.dryer_id).rack_area_cm2
    return Racks(ceil_div(charge.racks * area, dryer.rack_area_cm2))


def _way(
    asked: Asked, room: Room, start: datetime | None, *, dries_s: Seconds, at: datetime
) -> Way:
    begins = start or at
    if room.free_from is not None:
        begins = _staffed_from(asked, max(begins, room.free_from)) or begins
    if room.wash_down:
        begins += timedelta(seconds=room.dryer.wash_down_s)
    needed = begins + timedelta(seconds=dries_s)
    released = _staffed_from(asked, needed) or needed
    end = max(needed, released - timedelta(seconds=asked.kitchen.limits.cool_hold_most_s))
    why: Why = "closed" if start is None else _why(asked, room, end=end, released=released)
    return Way(
        dryer=room.dryer,
        racks=room.racks,
        start=begins,
        end=end,
        released=released,
        wash_down=room.wash_down,
        stretched=end > needed,
        until=room.until,
        why=why,
    )


def _why(asked: Asked, room: Room, *, end: datetime, released: datetime) -> Why:
    if room.hindrance in ("down", "group", "set point"):
        return room.hindrance
    if room.racks > room.dryer.racks:
        return "racks"
    if released == end and not _is_staffed(asked, end):
        return "night end"
    if room.until is not None:
        left = seconds_within(asked.staffed(), released, room.until)
        return "next run" if left < room.dryer.turn_round_s else ""
    return ""


def _staffed_from(asked: Asked, at: datetime) -> datetime | None:
    """The first five-minute mark from then on at which the kitchen is staffed."""
    late = int(at.timestamp()) % GRID or (GRID if at.microsecond else 0)
    first = at.replace(microsecond=0) + timedelta(seconds=GRID - late if late else 0)
    spans = (each for each in asked.staffed() if each.end > first)
    return next((max(first, each.start) for each in spans), None)


def _is_staffed(asked: Asked, at: datetime) -> bool:
    return any(each.start <= at <= each.end for each in asked.staffed())


def packed_from(asked: Asked, card: ProcessCard, way: Way) -> datetime:
    """When its packing may start at the earliest: unloaded, cooled, checked, rested (rule 17)."""
    limits = asked.kitchen.limits
    out = unloaded(way)
    checked = limits.cool_s + limits.sample_closed_s + limits.dry_check_s
    return out + timedelta(seconds=max(checked, card.rest_s))


def unloaded(way: Way) -> datetime:
    return way.released + timedelta(seconds=way.dryer.unload_s)


def packing_span(
    asked: Asked, grower_id: str, within: Span, *, lasts_s: Seconds, taken: Iterable[Span]
) -> Span | None:
    """The first span of that length in staffed hours in which the grower can come and nothing that
    is taken lies; None where there is none."""
    busy = (*asked.cannot_come(asked.grower(grower_id)), *taken)
    lasts = timedelta(seconds=lasts_s)
    for staffed in asked.staffed():
        begins = _staffed_from(asked, max(staffed.start, within.start))
        while begins is not None and begins + lasts <= min(staffed.end, within.end):
            found = Span(begins, begins + lasts)
            in_the_way = [each for each in busy if each.overlaps(found)]
            if not in_the_way:
                return found
            begins = _staffed_from(asked, max(each.end for each in in_the_way))
    return None
