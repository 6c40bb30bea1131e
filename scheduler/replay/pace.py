"""How long what is supposed of a season still takes, by what has been done since it began."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass, field

from scheduler.replay.suppose import Tries, part_done
from scheduler.replay.supposed import Trial
from scheduler.season.records import Season
from scheduler.units import Seconds


@dataclass
class Pace:
    """known: trials of before it began, which took none of its time."""

    season: Season
    tries: Tries
    known: tuple[Trial, ...] = ()
    begin: float = field(default_factory=time.monotonic)

    def left_s(self, trials: Iterable[Trial]) -> Seconds | None:
        """None before the first try is done."""
        before = part_done(self.season, self.tries, self.known)
        now = part_done(self.season, self.tries, trials)
        if now <= before:
            return None
        return Seconds(round((time.monotonic() - self.begin) * (1 - now) / (now - before)))
