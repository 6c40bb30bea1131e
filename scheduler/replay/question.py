"""What the board is asked to decide: which of what was supposed, at what price, on what condition.

A sentence of figures; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from scheduler.replay.supposed import Supposed
from scheduler.wording import percent, plain

MINOR, GRAMS = 100, 1000


def amount(minor: int, currency: str) -> str:
    return f"{plain(minor / MINOR)} {currency}"


def asked_about(found: Sequence[Supposed]) -> Supposed | None:
    """The cheapest by the kilogram of what costs something and places more in every try; else what
    places most of what costs nothing. None where nothing does so in every try."""
    sure = [each for each in found if each.is_sure]
    costed = [each for each in sure if each.cost > 0]
    if costed:
        return min(costed, key=lambda each: each.cost_per_kg or 0)
    return max(sure, key=lambda each: each.saved_g, default=None)


def question(each: Supposed, currency: str) -> str:
    """What is asked, in one sentence with its condition."""
    once = "" if len(each.by_seed) > 1 else "; it was tried once, which does not say how sure it is"
    return (
        f"The board is asked to decide whether to {each.change.asked}{_paid(each, currency)}:"
        f" {plain(each.saved_g / GRAMS)} kg more{_condition(each, currency)}{once}."
    )


def _paid(each: Supposed, currency: str) -> str:
    change, costs = each.change, each.spent.costs
    running = plain((each.electricity + each.hands) / MINOR)
    if change.buys:
        yearly = plain(change.a_year(costs) / MINOR)
        price = amount(change.price(costs), currency)
        return f" for {price} ({yearly} a year, and {running} to run it)"
    if each.total:
        return f" for {amount(each.cost, currency)} and {running} to run it"
    return ""


def _condition(each: Supposed, currency: str) -> str:
    if not each.brought or not each.total:
        return ""
    if each.brought >= each.total:
        return ", which fees would cover"
    left = amount(each.total - each.brought, currency) + _over(each)
    return f", on condition that the {left} which fees would not cover are accepted"


def _over(each: Supposed) -> str:
    """Whether it is a year of what is bought that is counted."""
    whole = each.change.buys and each.cost == each.change.a_year(each.spent.costs)
    return " a year" if whole else ""


def set_against(each: Supposed, currency: str) -> str:
    """What its kilograms would bring beside what it takes, and the fee at which it pays for itself;
    "" where no fees are known, or nothing is saved."""
    if not each.brought or each.cost_per_kg is None:
        return ""
    mean = each.spent.brings(GRAMS)
    total, apart = (plain(minor / MINOR) for minor in (each.total, abs(each.brought - each.total)))
    told = f" Fees bring {mean / MINOR:.2f} {currency} a kg, on average:"
    total += _over(each)
    if each.brought >= each.total:
        return (
            f"{told} all of its {total}, and {apart} {currency} more. It would pay for itself from"
            f" {each.cost_per_kg / MINOR:.2f} on."
        )
    rise = each.spent.rise(each.saved_g, each.total)
    return (
        f"{told} all but {apart} {currency} of its {total}. It would pay for itself if each of"
        f" these kg paid {each.cost_per_kg / MINOR:.2f}, or if all fees rose by {percent(rise)} (to"
        f" {mean * (1 + rise) / MINOR:.2f} a kg)."
    )
