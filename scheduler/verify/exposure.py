"""Rule 19: no plan leaves part-dry food warm beyond the house limit; there a person is asked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

from scheduler.domain.outage import StartedRun
from scheduler.domain.part_lot import PartLot
from scheduler.process.exposure import MOST_EXPOSED, MOST_MOVING
from scheduler.verify.emergency import Left, lefts
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.started import as_recorded, stop_of
from scheduler.verify.wording import lasting

_FOREVER = datetime.max.replace(tzinfo=UTC)


def check(reading: Reading) -> Iterator[Fault]:
    """The clock of each part-lot that is planned to dry on or to be kept."""
    for left in lefts(reading):
        yield from _told(reading, left)
        yield from _discarded(left)
        yield from _goes_on(left)
        if left.part.held is None and left.part.dries_on is None:
            continue  # a person decides, or has decided
        stood = _stood_s(reading, left)
        clock = _warm_s(left.part, _FOREVER) + stood
        if clock > MOST_EXPOSED and not _is_decided(left.part, stood):
            told = lasting(clock)
            yield left.fault(19, f"would be warm for {told}; from four hours on a person is asked")


def _told(reading: Reading, left: Left) -> Iterator[Fault]:
    held, run = left.part.held, left.part.dries_on
    if held and held.until is not None and held.until < held.since:
        yield left.fault(19, "is kept until before it is kept")
    if held and run and (held.until is None or held.until > run.start):
        yield left.fault(19, f"is still kept at {reading.say.at(run.start)}, when it dries on")


def _discarded(left: Left) -> Iterator[Fault]:
    """Only a person named discards; after that nothing is planned for the racks."""
    gone, held, run = left.part.discarded, left.part.held, left.part.dries_on
    if gone is None:
        return
    if not gone.by.strip():
        yield left.fault(19, "is discarded, and nobody is named who decided it")
    if run and run.end > gone.at:
        yield left.fault(19, "dries on although it is discarded")
    if held and (held.until is None or held.until > gone.at):
        yield left.fault(19, "is kept although it is discarded")


def _goes_on(left: Left) -> Iterator[Fault]:
    """Only a person named lets it go on over the limit, and hardly any time comes on top."""
    said, held, run = left.part.goes_on, left.part.held, left.part.dries_on
    if said is None:
        return
    if not said.by.strip():
        yield left.fault(19, "goes on over the limit, and nobody is named who decided it")
    moving = (run.start - held.until).total_seconds() if held and held.until and run else 0
    if moving > MOST_MOVING:
        told = lasting(int(moving))
        yield left.fault(
            19, f"goes on over the limit, and would be out of the cold for {told} more"
        )


def _is_decided(part: PartLot, stood: int) -> bool:
    """Whether a person decided on it when it was over the limit already."""
    said = part.goes_on
    return said is not None and _warm_s(part, said.at) + stood >= MOST_EXPOSED


def _warm_s(part: PartLot, until: datetime) -> int:
    """Seconds out of control from the stop to that instant, as far as it has a way, with those that
    it does not tell of."""
    held, run = part.held, part.dries_on
    steps: list[tuple[datetime, datetime]] = []
    if held is not None:
        steps.append((part.stopped, held.since))
        if run is not None and held.until is not None:
            steps.append((held.until, run.start))
    elif run is not None:
        steps.append((part.stopped, run.start))
    return max(0, part.again_s) + sum(
        max(0, int((min(end, until) - begin).total_seconds()))
        for begin, end in steps
        if begin < until
    )


def _stood_s(reading: Reading, left: Left) -> int:
    """What had been counted when it stopped, and no less than its plan says: all before it, where
    it is stopped again; else from its cut until its run really began."""
    told = left.part.stood_s or 0
    if left.before is not None:
        ran = as_recorded(reading, left.before.part)
        before = _warm_s(ran, left.part.stopped) + _stood_s(reading, left.before)
        return max(told, before)
    return max(told, _before_run_s(reading, left))


def _before_run_s(reading: Reading, left: Left) -> int:
    run, charge = left.run, left.charge
    assert run
    assert charge
    if charge.stood_s is not None:
        return charge.stood_s
    planned = _cut_start(reading, left, run)
    if planned is not None:
        return max(0, int((run.start - planned).total_seconds()))
    moved = _moved_s(reading, left, run)
    if left.part.stood_s is not None:
        return moved  # and of a plan before, which is no longer at hand
    limits = reading.asked.kitchen.limits
    return moved + max(limits.cut_to_dryer_s, limits.cut_to_steam_s + limits.steam_to_dryer_s)


def _moved_s(reading: Reading, left: Left, run: StartedRun) -> int:
    """Warm since the dryer stopped that its racks were in before, until somebody put them there;
    nought where the plan before told where those went."""
    name, happened = left.note.id, reading.asked.happened
    promised = reading.asked.promised.plan
    told = {(each.note_id, each.stopped) for each in (promised.part_lots if promised else ())}
    earlier = [each for each in happened.runs if each.start < run.start]
    holding = [each for each in earlier if any(charge.note_id == name for charge in each.charges)]
    for last in sorted(holding, key=lambda each: each.start, reverse=True):
        since = stop_of(reading, last)
        if since < last.end and since <= run.start:
            return 0 if (name, since) in told else int((run.start - since).total_seconds())
    return 0


def _cut_start(reading: Reading, left: Left, run: StartedRun) -> datetime | None:
    """As the promised plan had it: of its charges in that dryer the nearest."""
    promised, best = reading.asked.promised.plan, None
    for each, charge in promised.charges() if promised else ():
        if (each.dryer_id, charge.note_id) == (run.dryer_id, left.note.id):
            off = abs((each.start - run.start).total_seconds())
            if best is None or off < best[0]:
                best = (off, charge.preparation)
    return best[1].cut.start if best is not None and best[1] is not None else None
