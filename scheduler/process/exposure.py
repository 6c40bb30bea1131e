"""The clock of exposure (rule 19): how long cut food may stand warm before a person is asked."""

from __future__ import annotations

from scheduler.units import HOUR, Seconds

# House limit, to be confirmed by the process authority: Delaware Food Code 3-501.19, time as a
# public health control, 4 h (time_control_4h in reference/safety_limits.csv).
MOST_EXPOSED = Seconds(4 * HOUR)
# Once a person let it go on over that limit: from the cold into a dryer again (ours, demo).
MOST_MOVING = Seconds(HOUR)


def exposure_left_s(stood_s: Seconds) -> Seconds:
    """What is left of the four hours after so many seconds between 5 and 57 C; never below nought.

    Source: rule 19. At nought a person is asked; nothing is said about the food.
    """
    return Seconds(max(0, MOST_EXPOSED - stood_s))
