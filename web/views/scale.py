"""The hours of a drawing: instants to x, in the drawing's own units, stretched to the page."""

from __future__ import annotations

from datetime import datetime

from scheduler.domain.clock import Span
from scheduler.units import HOUR
from web.views.reading import Reading

HOUR_WIDTH = 9.0
LEFT = 122.0
LETTER_WIDTH = 7.2


class Scale:
    """Instants of the week to the drawing's x; what lies outside the period ends at its edge.

    reading: how what stands beside it is worded.
    """

    def __init__(self, period: Span, reading: Reading) -> None:
        self.period = period
        self.reading = reading
        self.width = period.seconds / HOUR * HOUR_WIDTH

    def x(self, at: datetime) -> float:
        inside = min(max(at, self.period.start), self.period.end)
        return round(LEFT + (inside - self.period.start).total_seconds() / HOUR * HOUR_WIDTH, 2)


def fitting(name: str, width: float) -> str:
    """The name if it has room, else its last word, else as much of that as fits."""
    room = int(width / LETTER_WIDTH)
    if len(name) <= room:
        return name
    last = name.rsplit(maxsplit=1)[-1]
    return last if len(last) <= room else f"{last[: max(0, room - 1)]}."
