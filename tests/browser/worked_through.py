"""A posted week as a kitchen hand works it: each line of its day sheets, done as planned."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta

from api.services.day_to_tick import LineToTick, day_to_tick, note_of
from api.services.dry_checks import Check, dry_check
from api.services.ports import Book
from api.services.roles import Doing
from api.services.ticking import Tick, tick_off
from scheduler.process.dry_check import Reading
from scheduler.units import Grams
from tests.book import HAND, MANAGER, doing
from tests.served import AUGUST, Kitchen

ORDER = ("weigh in", "end", "unload", "dry check", "pack")  # at the same minute
DRY = (0.45, 8.0)  # water activity and moisture (%) that any card of August lets pass (demo)


def worked_through(
    kitchen: Kitchen, until: datetime, *, weighed: Mapping[str, Grams], unread: int = 0
) -> None:
    """All that is planned to be over by then is done and written down; the clock stands there.

    weighed: what weighs otherwise than noted. unread: so many of the last dry checks still wait.
    """
    kitchen.now[0] = until
    now = doing(HAND, until)
    with kitchen.shelf.writing() as book:
        due = sorted(_due(book, now), key=lambda found: _turn(found[1]))
        checks = [each.key for _, each in due if each.line.act == "dry check"]
        waits = set(checks[len(checks) - unread :])
        for day, found in due:
            each = day_to_tick(book, now, day).line(found.key)
            if each is not None and not each.is_done and each.key not in waits:
                _do(book, now, day, each, weighed)


def _due(book: Book, now: Doing) -> Iterator[tuple[date, LineToTick]]:
    day = AUGUST.week.monday
    while day <= now.at.astimezone(AUGUST.kitchen.zone).date():
        for each in day_to_tick(book, now, day).lines:
            if _over(each) <= now.at and each.line.act not in ("down", "up"):
                yield day, each
        day += timedelta(days=1)


def _over(each: LineToTick) -> datetime:
    return each.line.until or each.line.at


def _turn(each: LineToTick) -> tuple[datetime, int]:
    act = each.line.act
    return _over(each), ORDER.index(act) if act in ORDER else -1


def _do(book: Book, now: Doing, day: date, each: LineToTick, weighed: Mapping[str, Grams]) -> None:
    at, act = _over(each), each.line.act
    if act == "dry check":
        _read(book, now, each)
    elif act == "weigh in":
        note_id = note_of(each.line)
        field_g = weighed.get(note_id, AUGUST.note(note_id).field_g)
        tick_off(book, now, day, Tick(each.key, at, weighed_g=field_g))
    elif act == "pack":
        bags = _bags(each)
        if each.lot is not None and each.lot.state in ("passed", "packed"):
            tick_off(book, now, day, Tick(each.key, at, bags=bags))
    elif act == "unload" and each.kept is not None and each.kept.ended is None:
        tick_off(book, now, day, Tick(each.key, each.line.at, ended=True))
        tick_off(book, now, day, Tick(each.key, at))
    else:
        for load in [load.number for load in each.line.loads] or [0]:
            tick_off(book, now, day, Tick(each.key, at, load=load))


def _read(book: Book, now: Doing, each: LineToTick) -> None:
    assert each.lot is not None
    assert each.kept is not None
    readings = tuple(Reading(rack, *DRY) for rack in each.line.sample_racks)
    said = Check(readings, "pass", MANAGER.name, each.kept.number, _over(each))
    dry_check(book, now, each.lot.code, version=each.lot.version, check=said)


def _bags(each: LineToTick) -> int:
    """As many as the sheet expects."""
    found = re.match(r"[\d,]+", each.line.amount)
    assert found is not None
    return int(found[0].replace(",", ""))
