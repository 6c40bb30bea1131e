"""What it weighs to move a grower's turn: by the notice left, and by who was moved before."""

from __future__ import annotations

from datetime import datetime

from scheduler.units import HOUR

# Grams of worth, our own figures (demo): a turn in two hours weighs about 3.6 kg, one in a day 0.3,
# one on the other end of the week next to nothing, so that only a rack or more is worth a call.
LEAST_G, MOST_G, HALF_H = 50, 4000, 6
AGAIN = 2  # times as much for who was moved before
PENCILLED = 4  # times less for who was promised nothing
SHORT_H = 12  # turns with less notice stay if any mend leaves them (demo, as those above)


def notice_h(now: datetime, start: datetime) -> float:
    return max(0.0, (start - now).total_seconds() / HOUR)


def weight_g(hours: float, *, firm: bool = True, again: bool = False) -> int:
    """Grams that moving a turn with so many hours of notice counts against a plan."""
    weight = LEAST_G + MOST_G / (1 + (hours / HALF_H) ** 2)
    return round(weight * (AGAIN if again else 1) / (1 if firm else PENCILLED))
