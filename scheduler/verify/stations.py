"""Rule 11: stations that serve one charge at a time, and stations that are down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime

from scheduler.domain.clock import Span
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading
from scheduler.verify.sweep import Use, clashes

Uses = Mapping[str, Sequence[Use]]  # by station


def one_at_a_time(reading: Reading, uses: Uses, *, rule: int = 11) -> Iterator[Fault]:
    """Uses of a station that overlap."""
    for station_id, at_station in uses.items():
        for first, second in clashes(at_station):
            message = (
                f"is {second.what} at {station_id} from {reading.say.at(second.span.start)}, where "
                f"{first.placed.code} is {first.what} until {reading.say.at(first.span.end)}"
            )
            yield second.placed.fault(rule, message)


def down(reading: Reading, uses: Uses) -> Iterator[Fault]:
    """Uses of a station between its stop and its return."""
    for outage in reading.asked.happened.outages:
        back = outage.back or datetime.max.replace(tzinfo=UTC)
        for use in uses.get(outage.station_id, ()):
            if use.span.overlaps(Span(outage.stopped, back)):
                until = f"until {reading.say.at(outage.back)}" if outage.back else "for now"
                message = (
                    f"is {use.what} at {outage.station_id}, {reading.say.when(use.span)}; it is "
                    f"down from {reading.say.at(outage.stopped)} {until}"
                )
                yield use.placed.fault(11, message)
