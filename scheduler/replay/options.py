"""What was supposed, worded for the board: each option's kg, price and doubt, and which speaks."""

from __future__ import annotations

from collections.abc import Sequence

from scheduler.domain.rules import TITLES
from scheduler.replay.suppose import Supposed
from scheduler.season.paper import Option
from scheduler.wording import plain

MINOR, GRAMS = 100, 1000


def worded(found: Sequence[Supposed], currency: str) -> tuple[Option, ...]:
    return tuple(_option(each, currency) for each in found)


def _option(each: Supposed, currency: str) -> Option:
    per_kg = each.cost_per_kg
    weeks = len({trial.week for trial in each.trials})
    return Option(
        name=each.change.name,
        says=each.change.says.format(money=currency),
        saved=f"{plain(each.saved_g / GRAMS)} kg",
        price=f"{plain(each.cost / MINOR)} {currency}",
        a_kg="nothing saved" if per_kg is None else f"{per_kg / MINOR:.2f} {currency}",
        sure=f"{_tries(each)}; some in {each.weeks_helped} of {weeks} weeks",
        binds="" if each.binds is None else f"{TITLES[each.binds]} ({each.binds})",
        saved_g=each.saved_g,
        without_g=each.without_g,
        off_kg=each.give_or_take_g / GRAMS,
    )


def _tries(each: Supposed) -> str:
    low, high = (plain(end(each.by_seed) / GRAMS) for end in (min, max))
    tries = len(each.by_seed)
    return "tried once" if tries == 1 else f"{low} to {high} kg in {tries} tries"


def verdict(found: Sequence[Supposed], currency: str) -> str:
    """Which option the figures speak for, and what they say of one more dryer, where that was
    tried. Proposes only."""
    if all(each.saved_g <= 0 for each in found):
        return "Nothing of what was tried would have placed more." if found else ""
    priced = [each for each in found if each.cost_per_kg is not None and each.cost > 0]
    most = max(found, key=lambda each: each.saved_g)
    best = min(priced, key=lambda each: each.cost_per_kg or 0, default=most)
    dryer = next((each for each in found if each.change.key == "dryer"), best)
    told = (
        f"{dryer.change.name} would have placed {plain(dryer.saved_g / GRAMS)} kg more of prepared"
        f" food{_doubt(dryer)}, {_price(dryer, currency)}"
    )
    if len(found) == 1:
        return f"{told}."
    if best is dryer:
        return f"{told}: of what was tried, the cheapest way to a kilogram more."
    others = (
        f"{best.change.name.lower()} {plain(best.saved_g / GRAMS)} kg, {_price(best, currency)}"
    )
    if most not in (best, dryer):
        more = f"{plain(most.saved_g / GRAMS)} kg"
        others += f"; most of all {most.change.name.lower()}, {more}, {_price(most, currency)}"
    return f"{told}; {others}."


def _doubt(each: Supposed) -> str:
    """The standard deviation of the tries, where there are several."""
    off = plain(each.give_or_take_g / GRAMS)
    return f" (give or take {off})" if len(each.by_seed) > 1 else ""


def _price(each: Supposed, currency: str) -> str:
    if each.cost == 0:
        return "at no cost"
    if each.cost_per_kg is None:
        return "whatever it costs"
    return f"at {each.cost_per_kg / MINOR:.2f} {currency} a kg"
