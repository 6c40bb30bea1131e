"""Rule 2: hands-on work is done while the kitchen is staffed."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.verify.fault import Fault
from scheduler.verify.hands_on import hands_on
from scheduler.verify.reading import Reading


def check(reading: Reading) -> Iterator[Fault]:
    """Each piece of work lies within one staffed stretch; a run may start at closing time."""
    for work in hands_on(reading.plan, reading.rules):
        if not reading.staffed.contain(work.span):
            moment = work.span.start == work.span.end
            time = reading.say.at(work.span.start) if moment else reading.say.when(work.span)
            message = f"{work.name}, {time}, does not lie within staffed hours"
            yield Fault(2, message, work.run.id, work.code)
