"""What was supposed, worded for the board: each option's kg, price and doubt, and which speaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.domain.rules import PLAINLY, TITLES
from scheduler.replay.changes import priced
from scheduler.replay.supposed import Supposed
from scheduler.season.paper import Option
from scheduler.wording import count, plain

MINOR, GRAMS = 100, 1000


def worded(found: Sequence[Supposed], currency: str) -> tuple[Option, ...]:
    return tuple(_option(each, currency) for each in found)


def _option(each: Supposed, currency: str) -> Option:
    per_kg = each.cost_per_kg
    return Option(
        name=each.change.name,
        says="; ".join(_says(each, currency)),
        saved=f"{plain(each.saved_g / GRAMS)} kg",
        price=_amount(each.cost, currency),
        a_kg="nothing saved" if per_kg is None else f"{per_kg / MINOR:.2f} {currency}",
        sure=f"{_tries(each)}; some in {each.weeks_helped} of {count(each.weeks, 'week')}",
        binds="" if each.binds is None else f"{TITLES[each.binds].lower()} ({PLAINLY[each.binds]})",
        saved_g=each.saved_g,
        without_g=each.without_g,
        off_kg=each.give_or_take_g / GRAMS,
        running=_amount(each.electricity + each.hands, currency),
    )


def _says(each: Supposed, currency: str) -> Iterator[str]:
    """What it is, what is paid for it, and how much of that is counted."""
    change, costs = each.change, each.spent.costs
    yield change.says
    for what in change.buys:
        price, years = priced(costs, what)
        yield f"{what} {_amount(price, currency)} over {years} years"
    if change.buys:
        part = f"{each.weeks} of its {costs.weeks_open} weeks"
        yield f"a year counted{'' if each.weeks >= costs.weeks_open else f', {part}'}"
    if change.paid:
        yield f"at {_amount(costs.hand_hour, currency)} an hour, {count(each.weeks, 'week')}"


def _amount(minor: int, currency: str) -> str:
    return f"{plain(minor / MINOR)} {currency}"


def _tries(each: Supposed) -> str:
    if len(each.by_seed) <= 1:
        return "tried once" if each.by_seed else "no such week"
    low, high = (plain(end(each.by_seed) / GRAMS) for end in (min, max))
    return f"{low} to {high} kg in {len(each.by_seed)} tries"


def verdict(found: Sequence[Supposed], currency: str) -> str:
    """Which option the figures speak for, what they say of one more dryer, where that was tried,
    and what fees set against it. Proposes only."""
    if all(each.saved_g <= 0 for each in found):
        return "Nothing of what was tried would have placed more." if found else ""
    costed = [each for each in found if each.cost_per_kg is not None and each.cost > 0]
    most = max(found, key=lambda each: each.saved_g)
    best = min(costed, key=lambda each: each.cost_per_kg or 0, default=most)
    dryer = next((each for each in found if each.change.key == "dryer"), best)
    told = (
        f"{dryer.change.name} would have placed {plain(dryer.saved_g / GRAMS)}{_doubt(dryer)} of"
        f" the {plain(dryer.waited_g / GRAMS)} kg of prepared food that else had no place,"
        f" {_price(dryer, currency)}"
    )
    if len(found) > 1:
        told += _others(dryer, best, most, currency)
    return f"{told}.{_fees(dryer, currency)}"


def _others(dryer: Supposed, best: Supposed, most: Supposed, currency: str) -> str:
    if best is dryer:
        return ": of what was tried, the cheapest way to a kilogram more"
    others = (
        f"; {best.change.name.lower()} {plain(best.saved_g / GRAMS)} kg, {_price(best, currency)}"
    )
    if most not in (best, dryer):
        more = f"{plain(most.saved_g / GRAMS)} kg"
        others += f"; most of all {most.change.name.lower()}, {more}, {_price(most, currency)}"
    return others


def _doubt(each: Supposed) -> str:
    return f" ({_tries(each)})" if len(each.by_seed) > 1 else ""


def _fees(dryer: Supposed, currency: str) -> str:
    """What its kilograms would bring, beside what it would cost."""
    each, brought = dryer.spent.brings(GRAMS), dryer.spent.brings(max(0, dryer.saved_g))
    if not brought or dryer.cost_per_kg is None:
        return ""
    total, apart = (plain(minor / MINOR) for minor in (dryer.total, abs(brought - dryer.total)))
    covered = f"cover its {total} and leave" if brought >= dryer.total else "cover all but"
    rest = f"{apart} {currency}" + ("" if brought >= dryer.total else f" of its {total}")
    return f" At {each / MINOR:.2f} {currency} a kg, the average, fees would {covered} {rest}."


def _price(each: Supposed, currency: str) -> str:
    if each.total == 0:
        return "at no cost"
    if each.cost_per_kg is None:
        return "whatever it costs"
    return f"at {each.cost_per_kg / MINOR:.2f} {currency} a kg"
