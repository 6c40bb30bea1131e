"""Rules 5, 6, 8, 11 and 18 for runs of part-lots: racks, and their dryer before and after."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from scheduler.domain.clock import Span
from scheduler.domain.kitchen import Dryer
from scheduler.domain.part_lot import DriesOn
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.units import Grams
from scheduler.verify.emergency import Left, ended, lefts
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.started import as_part_lot, started_groups, stop_of
from scheduler.verify.wording import lasting


@dataclass(frozen=True, slots=True)
class _Use:
    """A dryer in use: dries until end, may be emptied from out, held these groups."""

    start: datetime
    end: datetime
    out: datetime
    groups: frozenset[str]
    what: str
    part_lot: bool = False


def check(reading: Reading) -> Iterator[Fault]:
    """Each dryer with the part-lots that dry on in it; and those that were promised their way."""
    of_dryer: dict[str, list[Left]] = defaultdict(list)
    for left in _as_they_ran(lefts(reading)):
        if left.part.dries_on:
            of_dryer[left.part.dries_on.dryer_id].append(left)
    for dryer in reading.asked.kitchen.dryers:
        yield from _racks(dryer, of_dryer[dryer.id])
        for left in of_dryer[dryer.id]:
            yield from _stops(reading, left)
            yield from _beside(reading, dryer, left, others=of_dryer[dryer.id])
    yield from _promised(reading)


def _as_they_ran(every: tuple[Left, ...]) -> Iterator[Left]:
    """Runs that stopped under a part-lot end there, if the plan has what was left."""
    for left in every:
        run, stopped = left.part.dries_on, ended(left, every)
        if run is None or stopped is None:
            yield left
        else:
            yield replace(left, part=replace(left.part, dries_on=replace(run, end=stopped)))


def _promised(reading: Reading) -> Iterator[Fault]:
    promised = reading.asked.promised.plan
    for part in promised.part_lots if promised else ():
        if part not in reading.plan.part_lots:
            yield Fault(18, f"{part.code} is part-dry and does not go the way that was decided")


def _racks(dryer: Dryer, parts: Sequence[Left]) -> Iterator[Fault]:
    inside: dict[datetime, list[Left]] = defaultdict(list)
    for each in parts:
        if each.part.dries_on:
            inside[each.part.dries_on.start].append(each)
    for together in inside.values():
        racks = sum(each.part.racks for each in together)
        if racks > dryer.racks:
            yield together[0].fault(
                5, f"dries on among {racks} racks; {dryer.id} holds {dryer.racks}"
            )
        strange = next((e for e in together if e.card.group != together[0].card.group), None)
        if strange:
            other = together[0].part.code
            yield strange.fault(6, f"dries on beside {other}, which is of another group")


def _stops(reading: Reading, left: Left) -> Iterator[Fault]:
    run = left.part.dries_on
    for each in reading.asked.happened.outages if run else ():
        assert run
        until = each.back is None or run.start < each.back
        if each.station_id == run.dryer_id and run.end > each.stopped and until:
            yield left.fault(11, f"dries on in {run.dryer_id} while that is down")
    for taken in reading.asked.promised.taken if run else ():
        assert run
        if taken.who == run.dryer_id and taken.span.overlaps(Span(run.start, run.end)):
            yield left.fault(18, f"dries on in {run.dryer_id}, promised to another plan")


def _beside(
    reading: Reading, dryer: Dryer, left: Left, *, others: Iterable[Left]
) -> Iterator[Fault]:
    run = left.part.dries_on
    assert run
    yield from _at_work(reading, dryer, left, Span(run.start, _release(reading, run.end)))
    for use in _uses(reading, dryer, left, others):
        if use.start < run.end and run.start < use.end:
            yield left.fault(20, f"dries on in {dryer.id} during {use.what}")
        elif use.start < run.start:
            has = _with_hands(reading, left, use.out, run.start)
            needs = _needs(reading, dryer, before=use.groups, after={left.card.group})
            yield from _too_soon(left, f"after {use.what}", has, needs)
        elif not use.part_lot:
            out = _release(reading, run.end)
            has = reading.staffed.seconds(out, use.start)
            needs = _needs(reading, dryer, before={left.card.group}, after=use.groups)
            yield from _too_soon(left, f"before {use.what}", has, needs)


def _at_work(reading: Reading, dryer: Dryer, left: Left, inside: Span) -> Iterator[Fault]:
    for other in reading.in_dryer[dryer.id]:
        for work, span in (("unloaded", other.unload), ("washed down", other.wash_down)):
            if span and span.overlaps(inside):
                when = reading.say.when(span)
                yield left.fault(20, f"dries on in {dryer.id}, which is {work} {when}")


def _too_soon(left: Left, where: str, has: int, needs: int) -> Iterator[Fault]:
    if has < needs:
        told = f"{lasting(needs)} of hands' time are needed in between, there are {lasting(has)}"
        yield left.fault(8, f"dries on {where}; {told}")


def _needs(reading: Reading, dryer: Dryer, *, before: Iterable[str], after: Iterable[str]) -> int:
    dirty = [each for each in reading.asked.kitchen.groups if each.id in set(before)]
    asks = any(each.wash_down_before & set(after) for each in dirty)
    washed = asks and reading.rules.wash_downs
    return dryer.turn_round_s + (dryer.wash_down_s if washed else 0)


def _with_hands(reading: Reading, left: Left, since: datetime, until: datetime) -> int:
    """Staffed seconds, and those in which people on call are there for the stopped charge."""
    staffed = reading.staffed.seconds(since, until)
    if not left.part.hands:
        return staffed
    begin = max(since, left.part.stopped)
    end = min(until, left.part.stopped + timedelta(seconds=MOST_EXPOSED))
    if end <= begin:
        return staffed
    night = int((end - begin).total_seconds()) - reading.staffed.seconds(begin, end)
    return staffed + night


def _uses(reading: Reading, dryer: Dryer, left: Left, others: Iterable[Left]) -> Iterator[_Use]:
    at = reading.say.at
    for run in reading.in_dryer[dryer.id]:
        out = run.unload.start if run.unload and not reading.rules.easier else run.released
        what = f"the run of {at(run.start)}"
        yield _Use(run.start, run.end, out, frozenset(reading.groups(run)), what)
    for started in reading.asked.happened.runs:
        promised = as_part_lot(reading, started)
        own = promised is not None and _same(promised, left.part.dries_on)
        if started.dryer_id == dryer.id and not own:
            end, groups = stop_of(reading, started), started_groups(reading, started)
            yield _Use(started.start, end, end, groups, f"the run of {at(started.start)}")
    mine = left.part.dries_on
    for each in others:
        theirs = each.part.dries_on
        if theirs and mine and not _same(theirs, mine):
            end, groups = theirs.end, frozenset({each.card.group})
            what = f"that of {each.part.code}"
            yield _Use(theirs.start, end, end, groups, what, part_lot=True)


def _same(one: DriesOn, other: DriesOn | None) -> bool:
    return other is not None and (one.dryer_id, one.start) == (other.dryer_id, other.start)


def _release(reading: Reading, end: datetime) -> datetime:
    if reading.staffed.hold(end):
        return end
    return reading.staffed.next_opening(end) or end


def check_cold(reading: Reading) -> Iterator[Fault]:
    """Rule 11: the part-dry shelf and the freezers hold what they can, and nothing while down."""
    kitchen = reading.asked.kitchen
    holds = {each.id: each.holds_g for each in kitchen.freezers}
    store = kitchen.cold_store
    holds[store.id] = Grams(store.part_dry_crates * store.crate_g)
    every = lefts(reading)
    kept = [each for each in every if each.part.held]
    for left in kept:
        held = left.part.held
        assert held
        if held.station_id not in holds:
            yield left.fault(11, f"is kept in {held.station_id}, which is no place for it")
            continue
        there = [each for each in kept if _is_there(each, held.station_id, held.since)]
        weight = sum(map(_weight, there))
        if weight > holds[held.station_id]:
            told, most = reading.say.weight(weight), reading.say.weight(holds[held.station_id])
            yield left.fault(11, f"is kept among {told} in {held.station_id}, which holds {most}")
        for each in reading.asked.happened.outages:
            over = each.back is not None and each.back <= held.since
            begun = held.until is None or each.stopped < held.until
            over = over or each.stopped == ended(left, every)
            if each.station_id == held.station_id and begun and not over:
                yield left.fault(11, f"is kept in {held.station_id} while that is down")


def _is_there(left: Left, station_id: str, at: datetime) -> bool:
    held = left.part.held
    if held is None or held.station_id != station_id or held.since > at:
        return False
    return held.until is None or at < held.until


def _weight(left: Left) -> int:
    dry = left.part.prepared_g * (100 - left.card.water_in_percent)
    return round(dry / max(1e-9, 100 - left.part.water_percent))
