"""What a manager changes in mid-season: a grower's shares and days; the kitchen's hours, shifts,
contacts, closures and caps.

Settings of the kitchen keep every version; a grower is kept as she is now, and the trail tells what
she was before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from api.records.house import GrowerEntry, KitchenSettings
from api.services.bounds import FIRST_YEAR, LAST_YEAR
from api.services.deeds import keep_deed
from api.services.errors import NoSuchThing
from api.services.house import in_force
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.versions import same_version
from scheduler.domain.clock import Span, WeeklyHours
from scheduler.domain.kitchen import Hand, Kitchen
from scheduler.errors import BadInput, InputFault
from scheduler.scenario.hours import absence_span, absences, overlapping, weekly_hours


def grower_entry(
    book: Book, doing: Doing, grower_id: str, act: Act = Act.READ_HOUSE
) -> GrowerEntry:
    """One member as she is kept; NoSuchThing where there is none."""
    must(doing, act)
    found = book.growers.find(grower_id)
    if found is None:
        raise NoSuchThing(f"there is no grower {grower_id}")
    return found


def change_grower(
    book: Book, doing: Doing, grower_id: str, *, version: int, to: dict[str, Any]
) -> GrowerEntry:
    """Other shares, people, cannot or away; what is not named stays."""
    found = grower_entry(book, doing, grower_id, Act.KEEP_HOUSE)
    same_version(version, found.version, f"grower {grower_id}")
    changed = replace(found, grower=replace(found.grower, **to), version=found.version + 1)
    book.growers.replace(changed)
    before = {name: getattr(found.grower, name) for name in to}
    keep_deed(book, doing, Act.KEEP_HOUSE, grower_id, **_told("before", before), **_told("to", to))
    return changed


def change_telephone(
    book: Book, doing: Doing, grower_id: str, *, version: int, telephone: str
) -> GrowerEntry:
    """By which number the kitchen rings her; no plan answers to it."""
    found = grower_entry(book, doing, grower_id, Act.KEEP_HOUSE)
    same_version(version, found.version, f"grower {grower_id}")
    changed = replace(found, telephone=telephone.strip(), version=found.version + 1)
    book.growers.replace(changed)
    keep_deed(book, doing, Act.KEEP_HOUSE, grower_id, what="telephone")
    return changed


def change_kitchen(
    book: Book, doing: Doing, *, version: int, to: dict[str, Any]
) -> KitchenSettings:
    """Other hours, contacts, closures or caps, as a new version; what is not named stays."""
    must(doing, Act.KEEP_HOUSE)
    found = in_force(book)
    same_version(version, found.number, "the kitchen")
    kitchen = replace(found.kitchen, **to)
    before = {name: getattr(found.kitchen, name) for name in to}
    told = _told("before", before) | _told("to", to)
    keep_deed(book, doing, Act.KEEP_HOUSE, kitchen.id, **told)
    return book.settings.add(KitchenSettings(kitchen, doing.at, doing.person.id))


def _told(when: str, values: dict[str, Any]) -> dict[str, Any]:
    return {f"{name} {when}": value for name, value in values.items()}


def weekly_from(text: str, field: str) -> tuple[WeeklyHours, ...]:
    """ "Sat; Wed 12:00-19:00"; BadInput for anything else."""
    try:
        return weekly_hours(text)
    except ValueError as error:
        raise _bad(field, str(error)) from None


def hours_from(text: str, field: str) -> tuple[WeeklyHours, ...]:
    """Staffed hours or a shift, likewise; no two of a day overlap."""
    found = weekly_from(text, field)
    if overlapping(found):
        raise _bad(field, "two stretches of the same day overlap")
    return found


def staffed_from(text: str) -> tuple[WeeklyHours, ...]:
    """Likewise, some hours at least."""
    found = hours_from(text, "staffed")
    if not found:
        raise _bad("staffed", "the kitchen would never be staffed")
    return found


def hands_with(kitchen: Kitchen, shifts: Mapping[str, str]) -> tuple[Hand, ...]:
    """The hands with other shifts, by name; BadInput for whom it has not."""
    for name in shifts.keys() - {each.name for each in kitchen.hands}:
        raise _bad("shifts", f"no hand is called {name}")
    return tuple(
        replace(each, shifts=hours_from(shifts[each.name], "shifts"))
        if each.name in shifts
        else each
        for each in kitchen.hands
    )


def away_from(text: str, field: str, zone: ZoneInfo) -> tuple[Span, ...]:
    """ "2026-08-20; 2026-08-21T12:00/2026-08-21T19:00"; BadInput for anything else."""
    try:
        found = absences(text)
    except ValueError as error:
        raise _bad(field, str(error)) from None
    years = {day.year for each in found for day in _days(each)}
    if any(not FIRST_YEAR <= year < LAST_YEAR - 1 for year in years):
        raise _bad(field, f"must be of a year from {FIRST_YEAR} to {LAST_YEAR - 2}")
    spans = tuple(absence_span(each, zone) for each in found)
    if any(span.end <= span.start for span in spans):
        raise _bad(field, "ends before it starts")
    return spans


def _days(absence: tuple[datetime, datetime] | date) -> Iterator[date]:
    yield from absence if isinstance(absence, tuple) else (absence,)


def _bad(field: str, message: str) -> BadInput:
    return BadInput((InputFault("house", None, field, message),))
