"""Staffed time for many instants at once: seconds from a common beginning."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scheduler.shake.spread import Draws


class Staffed:
    """spans: opening and closing of every staffed stretch, in order."""

    def __init__(self, spans: Sequence[tuple[float, float]]) -> None:
        self.opens = np.array([opens for opens, _ in spans])
        self.closes = np.array([closes for _, closes in spans])
        self.before = np.concatenate([[0.0], np.cumsum(self.closes - self.opens)])

    def next_open(self, at: Draws) -> Draws:
        """The instant itself where it is staffed, else the next opening."""
        found: Draws = np.maximum(at, self.opens[self._after(at)])
        return found

    def room(self, at: Draws, seconds: float) -> Draws:
        """From the instant on, the first at which so many seconds are staffed in one stretch."""
        start = self.next_open(at)
        stretch = self._after(start)
        later = self.opens[np.minimum(stretch + 1, len(self.opens) - 1)]
        return np.where(start + seconds <= self.closes[stretch], start, later)

    def _after(self, at: Draws) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        found = np.searchsorted(self.closes, at, side="right")
        return np.minimum(found, len(self.opens) - 1)

    def time(self, at: Draws) -> Draws:
        """Staffed seconds before an instant."""
        stretch = self._after(at)
        inside = np.clip(at - self.opens[stretch], 0, self.closes[stretch] - self.opens[stretch])
        found: Draws = self.before[stretch] + inside
        return found

    def instant(self, staffed: Draws) -> Draws:
        """The first instant with so many staffed seconds before it."""
        stretch = np.searchsorted(self.before[1:], staffed, side="left")
        stretch = np.minimum(stretch, len(self.opens) - 1)
        found: Draws = self.opens[stretch] + staffed - self.before[stretch]
        return found
