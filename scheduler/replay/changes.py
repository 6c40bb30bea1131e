"""What the board may suppose of the kitchen: one change each, and what a season of it costs.

Prices are demo figures: commercial dryers cost 6,000 to 20,000 (Final report FNE13-789; SARE;
2015); how long they are written off over is common practice, hands' pay an hour is the demo's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import time

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.kitchen import Kitchen

MINOR = 100
HAND_HOUR = 15 * MINOR  # demo
DRYER_PRICE, DRYER_YEARS = 9_000 * MINOR, 10  # demo, within the published range
STEAMER_PRICE, STEAMER_YEARS = 2_400 * MINOR, 8  # demo
SUPPLY_PRICE, SUPPLY_YEARS, MORE_WATTS = 4_000 * MINOR, 20, 8_000  # demo
EVENING = time(22)
SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Change:
    """One thing done otherwise. cost: of all the weeks together, in minor units."""

    key: str
    name: str
    made: Callable[[Asked], Asked]
    cost: Callable[[tuple[Asked, ...]], int]
    says: str


def _kitchen(how: Callable[[Kitchen], Kitchen]) -> Callable[[Asked], Asked]:
    return lambda asked: replace(asked, kitchen=how(asked.kitchen))


def one_more_dryer(kitchen: Kitchen) -> Kitchen:
    """One more like the first, under an id of its own."""
    like = kitchen.dryers[0]
    more = replace(like, id=_free(kitchen, "D"), name=f"One more like {like.name}")
    return replace(kitchen, dryers=(*kitchen.dryers, more))


def one_more_steamer(kitchen: Kitchen) -> Kitchen:
    if not kitchen.steamers:
        return kitchen
    like = kitchen.steamers[0]
    more = replace(like, id=_free(kitchen, "S"), name=f"One more like {like.name}")
    return replace(kitchen, steamers=(*kitchen.steamers, more))


def more_supply(kitchen: Kitchen) -> Kitchen:
    limits = replace(kitchen.limits, supply_watts=kitchen.limits.supply_watts + MORE_WATTS)
    return replace(kitchen, limits=limits)


def evening_shift(kitchen: Kitchen) -> Kitchen:
    """Staffed to 22:00 on weekdays; hands whose shift ended at closing stay as long."""
    closing = {each.weekday: each.closes for each in kitchen.staffed}

    def longer(hours: tuple[WeeklyHours, ...]) -> tuple[WeeklyHours, ...]:
        return tuple(replace(each, closes=EVENING) if late(each) else each for each in hours)

    def late(each: WeeklyHours) -> bool:
        to_the_end = each.closes == closing.get(each.weekday)
        return each.weekday < SATURDAY and to_the_end and each.closes < EVENING

    hands = tuple(replace(hand, shifts=longer(hand.shifts)) for hand in kitchen.hands)
    return replace(kitchen, staffed=longer(kitchen.staffed), hands=hands)


def _free(kitchen: Kitchen, letter: str) -> str:
    number = 1
    while f"{letter}{number}" in kitchen.station_ids:
        number += 1
    return f"{letter}{number}"


def in_order_of_call(asked: Asked) -> Asked:
    """First come, first served, instead of whose turn it is."""
    return replace(asked, notes=tuple(sorted(asked.notes, key=lambda note: note.id)))


def _a_year(price: int, years: int) -> Callable[[tuple[Asked, ...]], int]:
    return lambda _: price // years


def _longer_shifts(weeks: tuple[Asked, ...]) -> int:
    more = 0
    for asked in weeks:
        late = evening_shift(asked.kitchen)
        for hand, longer in zip(asked.kitchen.hands, late.hands, strict=True):
            days = asked.week.days
            more += sum(each.seconds for each in late.shifts(longer, days))
            more -= sum(each.seconds for each in asked.kitchen.shifts(hand, days))
    return more * HAND_HOUR // 3600


def _both(kitchen: Kitchen) -> Kitchen:
    return more_supply(one_more_dryer(kitchen))


CHANGES: tuple[Change, ...] = (
    Change(
        "dryer", "One more dryer", _kitchen(one_more_dryer), _a_year(DRYER_PRICE, DRYER_YEARS),
        "like the first, on the power supply there is; 9,000 written off over 10 years",
    ),
    Change(
        "dryer and supply", "One more dryer, 8 kW more supply", _kitchen(_both),
        lambda _: DRYER_PRICE // DRYER_YEARS + SUPPLY_PRICE // SUPPLY_YEARS,
        "the same, and 4,000 for the supply over 20 years",
    ),
    Change(
        "evening", "Evening shift to 22:00", _kitchen(evening_shift), _longer_shifts,
        "Monday to Friday, the hands who stay until closing stay three hours longer at 15 an hour",
    ),
    Change(
        "steamer", "One more steamer", _kitchen(one_more_steamer),
        _a_year(STEAMER_PRICE, STEAMER_YEARS),
        "like the first; 2,400 written off over 8 years",
    ),
    Change(
        "order", "Notes in order of call", in_order_of_call, lambda _: 0,
        "first come, first served, instead of the least served first; it costs nothing",
    ),
)  # fmt: skip
BY_KEY = {each.key: each for each in CHANGES}
