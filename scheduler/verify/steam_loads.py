"""Rule 10: how much lies in a steam load, how many a charge has, and how long each takes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from scheduler.domain.plan import SteamLoad
from scheduler.process.steaming import load_g, load_seconds, loads_needed
from scheduler.units import Grams
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Prepared, Reading


def check(reading: Reading) -> Iterator[Fault]:
    """Number, weight and times of each charge's loads."""
    chill_s = {tub.id: tub.chill_s for tub in reading.asked.kitchen.chill_tubs}
    for each in reading.prepared:
        steams = bool(each.placed.card.steam_s)
        if steams and not each.loads:
            yield each.placed.fault(10, "has no steam load; its card asks for steaming")
        elif each.loads and not steams:
            yield each.placed.fault(10, "is steamed; its card asks for none")
        elif steams:
            yield from _weights(reading, each)
            for load in each.loads:
                yield from _times(reading, each.placed, load=load, chill_s=chill_s.get(load.tub_id))


def _weights(reading: Reading, each: Prepared) -> Iterator[Fault]:
    weights = [load.grams for load in each.loads]
    prepared_g = each.placed.charge.prepared_g
    if sum(weights) != prepared_g:
        loads, charge = reading.say.weight(sum(weights)), reading.say.weight(prepared_g)
        yield each.placed.fault(10, f"has {loads} in its steam loads and weighs {charge}")
    elif max(weights) - min(weights) > 1:
        yield each.placed.fault(10, "has steam loads of unequal weight")
    limits = _limits(reading, each)
    for load in each.loads:
        limit = limits.get(load.steamer_id)
        if limit is not None and load.grams > limit:
            told = f"{reading.say.weight(load.grams)} in {load.steamer_id}"
            message = f"has a load of {told}, which takes {reading.say.weight(limit)}"
            yield each.placed.fault(10, message)
    if len({load.steamer_id for load in each.loads}) == 1 and limits:
        yield from _fewest(each, limit=next(iter(limits.values())))


def _limits(reading: Reading, each: Prepared) -> dict[str, Grams]:
    """What each of its steamers takes of this crop in one load."""
    used = dict.fromkeys(load.steamer_id for load in each.loads)
    known = (reading.steamers[steamer_id] for steamer_id in used if steamer_id in reading.steamers)
    return {
        steamer.id: load_g(
            steamer.load_g,
            steamer.basket_area_cm2,
            depth_mm=reading.asked.kitchen.limits.basket_depth_mm,
            loose_g_per_l=each.placed.card.loose_g_per_l,
        )
        for steamer in known
    }


def _fewest(each: Prepared, *, limit: Grams) -> Iterator[Fault]:
    needed = loads_needed(each.placed.charge.prepared_g, limit) if limit > 0 else 0
    if len(each.loads) > needed:
        yield each.placed.fault(10, f"has {len(each.loads)} steam loads; {needed} hold it")


def _times(
    reading: Reading, placed: Placed, *, load: SteamLoad, chill_s: int | None
) -> Iterator[Fault]:
    steamer = reading.steamers.get(load.steamer_id)
    if steamer is None or chill_s is None:
        return  # rule 11 tells
    steam_s = placed.card.steam_s
    steamed = load.start + timedelta(seconds=steam_s)
    end = load.start + timedelta(seconds=load_seconds(steam_s, steamer.handling_s))
    chilled = end + timedelta(seconds=chill_s)
    if (load.steamed, load.end, load.chilled) != (steamed, end, chilled):
        due = f"steamed {reading.say.at(steamed)}, out {reading.say.at(end)}"
        message = (
            f"has a load put in {reading.say.at(load.start)} that should be {due}, "
            f"chilled {reading.say.at(chilled)}"
        )
        yield placed.fault(10, message)
