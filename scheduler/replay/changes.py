"""What the board may suppose of the kitchen: one change each, and what a season of it costs, by the
kitchen's own figures (`Costs`)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import time
from typing import Literal

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.kitchen import Costs, Kitchen

MINOR = 100
MORE_WATTS = 8_000  # demo
EVENING = time(22)
SATURDAY = 5


Bought = Literal["dryer", "steamer", "supply"]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing done otherwise. cost: of all the weeks together, in minor units.

    says: what it is; asked: what the board would decide to do; buys: what is bought for it, written
    off over its years. afresh: weeks are laid out from nothing, not from the posted plan, which the
    change would keep. paid: the hands are paid by its shifts, not by the work they have in them.
    tried_as: the change whose tries tell of it, in weeks alone in which something had no place.
    """

    key: str
    name: str
    made: Callable[[Asked], Asked]
    says: str
    asked: str
    buys: tuple[Bought, ...] = ()
    afresh: bool = False
    paid: bool = False
    tried_as: str = ""

    @property
    def of_trials(self) -> str:
        return self.tried_as or self.key

    def cost(self, weeks: tuple[Asked, ...]) -> int:
        """No week costs nothing."""
        if self.paid:
            return _longer_shifts(weeks)
        if not weeks:
            return 0
        costs = weeks[-1].kitchen.costs
        return self.a_year(costs) * _open_weeks(weeks) // costs.weeks_open

    def price(self, costs: Costs) -> int:
        """Of all that is bought for it, in minor units."""
        return sum(priced(costs, each)[0] for each in self.buys)

    def a_year(self, costs: Costs) -> int:
        """Each price over its years, in minor units."""
        return sum(price // years for price, years in (priced(costs, e) for e in self.buys))


def priced(costs: Costs, what: Bought) -> tuple[int, int]:
    """Minor units, and years over which they are written off."""
    return {
        "dryer": (costs.dryer, costs.dryer_years),
        "steamer": (costs.steamer, costs.steamer_years),
        "supply": (costs.supply, costs.supply_years),
    }[what]


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


def _open_weeks(weeks: tuple[Asked, ...]) -> int:
    """Weeks asked for; of any one year no more than it is open, so that a year costs a year."""
    most = weeks[-1].kitchen.costs.weeks_open
    by_year = Counter(asked.week.year for asked in weeks)
    return sum(min(number, most) for number in by_year.values())


def _longer_shifts(weeks: tuple[Asked, ...]) -> int:
    more = 0
    for asked in weeks:
        late = evening_shift(asked.kitchen)
        for hand, longer in zip(asked.kitchen.hands, late.hands, strict=True):
            days = asked.week.days
            more += sum(each.seconds for each in late.shifts(longer, days))
            more -= sum(each.seconds for each in asked.kitchen.shifts(hand, days))
    return more * weeks[-1].kitchen.costs.hand_hour // 3600 if weeks else 0


def _both(kitchen: Kitchen) -> Kitchen:
    return more_supply(one_more_dryer(kitchen))


EVENINGS = "Monday to Friday, the hands who stay until closing stay as long"
CHANGES: tuple[Change, ...] = (
    Change(
        "dryer", "One more dryer", of_kitchen(one_more_dryer),
        "like the first, on the supply there is", "buy one more dryer", ("dryer",),
    ),
    Change(
        "dryer and supply", "One more dryer, 8 kW more supply", of_kitchen(_both),
        "the same, with more power", "buy one more dryer and 8 kW more supply",
        ("dryer", "supply"),
    ),
    Change(
        "evening", "Evening shift to 22:00", of_kitchen(evening_shift), EVENINGS,
        "pay for evening shifts to 22:00", paid=True,
    ),
    Change(
        "evening when full", "Evening shift when full", of_kitchen(evening_shift),
        "the same, in weeks alone in which something had no place",
        "pay for evening shifts to 22:00 in weeks alone in which something has no place",
        paid=True, tried_as="evening",
    ),
    Change(
        "steamer", "One more steamer", of_kitchen(one_more_steamer), "like the first",
        "buy one more steamer", ("steamer",),
    ),
    Change(
        "order", "Notes in order of call", in_order_of_call,
        "first come, first served, instead of the least served first; both laid out from an empty"
        " plan",
        "serve notes in order of call", afresh=True,
    ),
)  # fmt: skip
BY_KEY = {each.key: each for each in CHANGES}
