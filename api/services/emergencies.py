"""A stopped dryer in the book: what is proposed for its racks, and whom to ring (rule 20)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from api.records.happened import OutageEntry
from api.services.asking import asked_of
from api.services.at_the_door import posted_plan
from api.services.night import night_of, week_inside
from api.services.night_log import PartClock, night_log
from api.services.notes import week_of
from api.services.ports import Book
from api.services.promises import promised_in
from api.services.roles import Doing
from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.mend import Emergency
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency import as_logged, emergency, with_parts


@dataclass(frozen=True, slots=True)
class Proposed:
    """found: as things stand now. names: of growers."""

    found: Emergency
    names: dict[str, str]


def proposed(book: Book, doing: Doing, number: int) -> Proposed | None:
    """None where nothing is to be proposed: it holds no racks, is back, or she may not read it."""
    stop, house = night_of(book, doing, number)
    back = stop.back is not None and stop.back <= doing.at
    holding = set() if house is None else _holding(house.kitchen)
    if house is None or back or stop.station_id not in holding or book.settings.last() is None:
        return None
    week = week_inside(house, stop)
    asked, kept = asked_of(book, week, now=doing.at), posted_plan(book, week)
    asked = replace(asked, promised=promised_in(book, asked, moving=False))
    plan = None if kept is None else _so_far(book, doing, asked, kept.plan, until=stop.stopped)
    found = emergency(asked, plan, stop.station_id, doing.at)
    clocks = night_log(book, doing, number).clocks
    logged = tuple(each.logged for each in clocks)
    parts = as_logged(asked, plan, stop.station_id, doing.at, logged)
    names = {each.id: each.grower.name for each in book.growers.where()}
    left = _left(found, parts, clocks)
    return Proposed(left, names) if left.part_lots else None


def _holding(kitchen: Kitchen) -> set[str]:
    """What racks dry in, or may be kept cold in."""
    cold = {kitchen.cold_store.id, *(each.id for each in kitchen.freezers)}
    return cold | {each.id for each in kitchen.dryers}


def _left(found: Emergency, parts: tuple[PartLot, ...], clocks: tuple[PartClock, ...]) -> Emergency:
    """Without what is in control by the night log, or decided; there it asks itself."""
    by_log = {(each.note_id, each.stopped) for each in parts}
    done = {each.part for each in clocks if each.logged.in_control or each.decided}
    fresh = [each for each in found.part_lots if (each.note_id, each.stopped) not in by_log]
    ours = [each for each in (*parts, *fresh) if each.code not in done]
    codes = {code for each in ours for code in (each.code, each.note_id)}
    return replace(
        found,
        part_lots=tuple(ours),
        ways={code: ways for code, ways in found.ways.items() if code in codes},
        decisions=tuple(each for each in found.decisions if each.code in {p.code for p in fresh}),
    )


def part_lots_of_log(
    book: Book, doing: Doing, asked: Asked, plan: Plan, now: datetime
) -> tuple[PartLot, ...]:
    """Where the racks of charges are that stopped in that week, as far as a night log tells."""
    return tuple(_of_logs(book, doing, asked, plan, stops=_stops(book, asked), now=now))


def _so_far(book: Book, doing: Doing, asked: Asked, plan: Plan, *, until: datetime) -> Plan:
    """The plan with what the logs of the stops before tell."""
    stops = (each for each in _stops(book, asked) if each.stopped < until)
    return with_parts(plan, _of_logs(book, doing, asked, plan, stops=stops, now=doing.at))


def _stops(book: Book, asked: Asked) -> list[OutageEntry]:
    holding = _holding(asked.kitchen)
    own = (each for each in book.outages.where() if each.station_id in holding)
    of_week = (each for each in own if week_of(book, each.stopped) == asked.week)
    return sorted(of_week, key=lambda each: each.stopped)


def _of_logs(
    book: Book,
    doing: Doing,
    asked: Asked,
    plan: Plan,
    *,
    stops: Iterable[OutageEntry],
    now: datetime,
) -> list[PartLot]:
    made = list[PartLot]()
    for stop in stops:
        logged = tuple(each.logged for each in night_log(book, doing, stop.number).clocks)
        so_far = with_parts(plan, made)
        made += as_logged(asked, so_far, stop.station_id, now, logged)
    return made
