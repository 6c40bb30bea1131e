"""The book at the command line: the same acts as under /api/v1."""

from api.cli import (
    acts,
    bills,
    calls,
    corrections,
    held,
    house,
    keeping,
    night,
    notes,
    people,
    places,
    runs,
    ticks,
    weeks,
    wishes,
    worker,
)
from api.cli.desk import app

__all__ = [
    "acts", "app", "bills", "calls", "corrections", "held", "house", "keeping", "night", "notes",
    "people", "places", "runs", "ticks", "weeks", "wishes", "worker",
]  # fmt: skip
