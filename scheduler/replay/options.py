"""What was supposed, worded for the board: each option's kg, price and doubt, and which speaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.domain.rules import PLAINLY, TITLES
from scheduler.replay.changes import priced
from scheduler.replay.question import MINOR, amount, asked_about, question, set_against
from scheduler.replay.supposed import Supposed
from scheduler.season.paper import Option
from scheduler.wording import count, listed, plain

GRAMS = 1000


def worded(found: Sequence[Supposed], currency: str) -> tuple[Option, ...]:
    about = asked_about(found)
    return tuple(_option(each, currency, is_asked=each is about) for each in found)


def _option(each: Supposed, currency: str, *, is_asked: bool) -> Option:
    per_kg = each.cost_per_kg
    return Option(
        name=each.change.name,
        says="; ".join(_says(each, currency)),
        saved=f"{plain(each.saved_g / GRAMS)} kg",
        price=_price(each, currency),
        a_kg="no kg more" if per_kg is None else f"{per_kg / MINOR:.2f} {currency}",
        sure="; ".join(_sure(each)),
        binds="" if each.binds is None else f"{TITLES[each.binds].lower()} ({PLAINLY[each.binds]})",
        saved_g=each.saved_g,
        without_g=each.without_g,
        off_kg=each.give_or_take_g / GRAMS,
        running=amount(each.electricity + each.hands, currency),
        question=question(each, currency) if is_asked else "",
        gained=each.gained,
    )


def _says(each: Supposed, currency: str) -> Iterator[str]:
    """What it is, what is paid for it, and how much of that is counted."""
    change, costs = each.change, each.spent.costs
    yield change.says
    if change.buys:
        yield listed(_bought(each, currency))
    if change.buys and each.cost != change.a_year(costs):
        yield f"{amount(each.cost, currency)} counted for {count(each.weeks, 'week')}"
    if change.paid:
        yield f"at {amount(costs.hand_hour, currency)} an hour, {count(each.weeks, 'week')}"


def _bought(each: Supposed, currency: str) -> Iterator[str]:
    for what in each.change.buys:
        price, years = priced(each.spent.costs, what)
        told = f"{what} {amount(price, currency)}" if len(each.change.buys) > 1 else ""
        yield f"{told} over {years} years".strip()


def _price(each: Supposed, currency: str) -> str:
    change, costs = each.change, each.spent.costs
    if change.buys:
        yearly = plain(change.a_year(costs) / MINOR)
        return f"{amount(change.price(costs), currency)}, {yearly} a year"
    return f"{amount(each.cost, currency)} of wages" if change.paid else "nothing"


def _sure(each: Supposed) -> Iterator[str]:
    yield _tries(each)
    helped = f"some in {each.weeks_helped} of {count(each.weeks, 'week')}"
    if each.weeks:
        yield helped if each.weeks_helped else "in no week reliably"


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
        f"{dryer.change.name} would have placed {plain(dryer.saved_g / GRAMS)} kg{_doubt(dryer)} of"
        f" the {plain(dryer.waited_g / GRAMS)} kg of prepared food that else had no place,"
        f" {_at(dryer, currency)}"
    )
    if len(found) > 1:
        told += _others(dryer, best, most, currency)
    told = f"{told}.{set_against(dryer, currency)}"
    if asked_about(found):
        return told
    return f"{told} Nothing placed more in every try: the figures ask nothing of the board."


def _others(dryer: Supposed, best: Supposed, most: Supposed, currency: str) -> str:
    if best is dryer:
        return ": of what was tried, the cheapest way to a kilogram more"
    others = f"; {best.change.name.lower()} {plain(best.saved_g / GRAMS)} kg, {_at(best, currency)}"
    if most not in (best, dryer):
        more = f"{plain(most.saved_g / GRAMS)} kg"
        others += f"; most of all {most.change.name.lower()}, {more}, {_at(most, currency)}"
    return others


def _doubt(each: Supposed) -> str:
    return f" ({_tries(each)})" if len(each.by_seed) > 1 else ""


def _at(each: Supposed, currency: str) -> str:
    if each.total == 0:
        return "at no cost"
    if each.cost_per_kg is None:
        return "whatever it costs"
    return f"at {each.cost_per_kg / MINOR:.2f} {currency} a kg"
