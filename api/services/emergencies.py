"""A stopped dryer in the book: what is proposed for its racks, and whom to ring (rule 20)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from api.services.asking import asked_of
from api.services.at_the_door import posted_plan
from api.services.night import night_of, week_inside
from api.services.ports import Book
from api.services.promises import promised_in
from api.services.roles import Doing
from scheduler.domain.mend import Emergency
from scheduler.emergency import emergency


@dataclass(frozen=True, slots=True)
class Proposed:
    """found: as things stand now. names: of growers."""

    found: Emergency
    names: dict[str, str]


def proposed(book: Book, doing: Doing, number: int) -> Proposed | None:
    """None where nothing is to be proposed: it is no dryer, it is back, or she may not read it."""
    stop, house = night_of(book, doing, number)
    back = stop.back is not None and stop.back <= doing.at
    dryers = set() if house is None else {each.id for each in house.kitchen.dryers}
    if house is None or back or stop.station_id not in dryers or book.settings.last() is None:
        return None
    week = week_inside(house, stop)
    asked, kept = asked_of(book, week, now=doing.at), posted_plan(book, week)
    asked = replace(asked, promised=promised_in(book, asked, moving=False))
    found = emergency(asked, None if kept is None else kept.plan, stop.station_id, doing.at)
    names = {each.id: each.grower.name for each in book.growers.where()}
    return Proposed(found, names) if found.part_lots else None
