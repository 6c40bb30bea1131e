"""What a plan puts into calendars: turns of growers, work of stations, nights on call; and what
becomes of them when the plan changes."""

from scheduler.turns.change import called_off, moved
from scheduler.turns.context import station_names
from scheduler.turns.growers import turns_of
from scheduler.turns.nights import nights_of
from scheduler.turns.stations import work_of
from scheduler.turns.stays import attending, by_day, stays
from scheduler.turns.taken import taken_by

__all__ = [
    "attending",
    "by_day",
    "called_off",
    "moved",
    "nights_of",
    "station_names",
    "stays",
    "taken_by",
    "turns_of",
    "work_of",
]
