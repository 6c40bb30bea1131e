"""Rule 19: no plan leaves part-dry food warm beyond the house limit; there a person is asked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from scheduler.domain.part_lot import PartLot
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.verify.emergency import Left, lefts
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.wording import lasting


def check(reading: Reading) -> Iterator[Fault]:
    """The clock of each part-lot that is planned to dry on or to be kept."""
    for left in lefts(reading):
        yield from _told(reading, left)
        warm = _warm_s(left.part)
        if warm is None:
            continue
        stood = max(left.part.stood_s or 0, _stood_s(reading, left))
        if warm + stood > MOST_EXPOSED:
            clock = lasting(warm + stood)
            yield left.fault(19, f"would be warm for {clock}; from four hours on a person is asked")


def _told(reading: Reading, left: Left) -> Iterator[Fault]:
    held, run = left.part.held, left.part.dries_on
    if held and held.until is not None and held.until < held.since:
        yield left.fault(19, "is kept until before it is kept")
    if held and run and (held.until is None or held.until > run.start):
        yield left.fault(19, f"is still kept at {reading.say.at(run.start)}, when it dries on")


def _warm_s(part: PartLot) -> int | None:
    """Seconds out of control from the stop on; None while a person decides."""
    held, run = part.held, part.dries_on
    steps: list[tuple[datetime, datetime]] = []
    if held is not None:
        steps.append((part.stopped, held.since))
        if run is not None and held.until is not None:
            steps.append((held.until, run.start))
    elif run is not None:
        steps.append((part.stopped, run.start))
    else:
        return None
    return sum(max(0, int((end - begin).total_seconds())) for begin, end in steps)


def _stood_s(reading: Reading, left: Left) -> int:
    """From its cut, as the promised plan had it, until its run really began."""
    promised, best = reading.asked.promised.plan, None
    for run, charge in promised.charges() if promised else ():
        if (run.dryer_id, charge.note_id) == (left.run.dryer_id, left.note.id):
            off = abs((run.start - left.run.start).total_seconds())
            if best is None or off < best[0]:
                best = (off, charge.preparation)
    if best is None or best[1] is None:
        return 0
    return max(0, int((left.run.start - best[1].cut.start).total_seconds()))
