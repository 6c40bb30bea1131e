"""What the board may suppose of the kitchen: one change each, and what a season of it costs.

Prices are demo figures: commercial dryers cost 6,000 to 20,000 (Final report FNE13-789; SARE;
2015); how long they are written off over is common practice, hands' pay an hour is the demo's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import time

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.kitchen import Kitchen

MINOR = 100
HAND_HOUR = 15 * MINOR  # demo
DRYER = (9_000 * MINOR, 10)  # price and years; demo
STEAMER = (2_400 * MINOR, 8)  # demo
SUPPLY, MORE_WATTS = (4_000 * MINOR, 20), 8_000  # demo
WEEKS_OPEN = 35  # in a year, April to November: the demo's season
OPEN = f", for the weeks asked for of {WEEKS_OPEN} open in a year"
EVENING = time(22)
SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Change:
    """One thing done otherwise. cost: of all the weeks together, in minor units.

    afresh: weeks are laid out from nothing, not from the posted plan, which the change would keep.
    """

    key: str
    name: str
    made: Callable[[Asked], Asked]
    cost: Callable[[tuple[Asked, ...]], int]
    says: str  # {money} is the kitchen's currency
    afresh: bool = False


def of_kitchen(how: Callable[[Kitchen], Kitchen]) -> Callable[[Asked], Asked]:
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


def one_more_table(kitchen: Kitchen) -> Kitchen:
    like = kitchen.tables[0]
    more = replace(like, id=_free(kitchen, "T"), name=f"One more like {like.name}")
    return replace(kitchen, tables=(*kitchen.tables, more))


def one_more_hand(kitchen: Kitchen) -> Kitchen:
    """One more on shift with the kitchen hand who is named first, the manager aside."""
    hands = kitchen.hands
    like = next((each for each in hands if each.role != "manager"), hands[0])
    more = replace(like, name=f"One more beside {like.name}")
    return replace(kitchen, hands=(*hands, more))


def more_supply(kitchen: Kitchen) -> Kitchen:
    limits = replace(kitchen.limits, supply_watts=kitchen.limits.supply_watts + MORE_WATTS)
    return replace(kitchen, limits=limits)


def evening_shift(kitchen: Kitchen) -> Kitchen:
    """Staffed to 22:00 on weekdays; hands whose shift ended at closing stay as long. Where it
    closes at midnight (00:00) or later than 22:00 nothing changes."""
    closing = {each.weekday: each.closes for each in kitchen.staffed}

    def longer(hours: tuple[WeeklyHours, ...]) -> tuple[WeeklyHours, ...]:
        return tuple(replace(each, closes=EVENING) if late(each) else each for each in hours)

    def late(each: WeeklyHours) -> bool:
        to_the_end = each.closes == closing.get(each.weekday)
        return each.weekday < SATURDAY and to_the_end and time(0) < each.closes < EVENING

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


def least_keeping_first(asked: Asked) -> Asked:
    """Most perishable first, instead of whose turn it is."""
    return replace(asked, notes=tuple(sorted(asked.notes, key=lambda note: note.latest_start)))


def _a_year(*parts: tuple[int, int]) -> Callable[[tuple[Asked, ...]], int]:
    """Prices, each over its years, for the part of the kitchen's open weeks that is asked for."""
    a_year = sum(price // years for price, years in parts)
    return lambda weeks: a_year * _open_weeks(weeks) // WEEKS_OPEN


def _open_weeks(weeks: tuple[Asked, ...]) -> int:
    """Weeks asked for; of any one year no more than it is open, so that a year costs a year."""
    by_year = Counter(asked.week.year for asked in weeks)
    return sum(min(number, WEEKS_OPEN) for number in by_year.values())


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
        "dryer", "One more dryer", of_kitchen(one_more_dryer), _a_year(DRYER),
        "like the first, on the power supply there is; 9,000 {money} written off over 10 years"
        + OPEN,
    ),
    Change(
        "dryer and supply", "One more dryer, 8 kW more supply", of_kitchen(_both),
        _a_year(DRYER, SUPPLY), "the same, and 4,000 {money} for the supply over 20 years",
    ),
    Change(
        "evening", "Evening shift to 22:00", of_kitchen(evening_shift), _longer_shifts,
        "Monday to Friday, the hands who stay until closing stay as long, at 15 {money} an hour",
    ),
    Change(
        "steamer", "One more steamer", of_kitchen(one_more_steamer),
        _a_year(STEAMER), "like the first; 2,400 {money} written off over 8 years",
    ),
    Change(
        "order", "Notes in order of call", in_order_of_call, lambda _: 0,
        "instead of the least served first; each week laid out from nothing both ways",
        afresh=True,
    ),
)  # fmt: skip
BY_KEY = {each.key: each for each in CHANGES}
