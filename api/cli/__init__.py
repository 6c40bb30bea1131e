"""The book at the command line: the same acts as under /api/v1."""

from api.cli import (
    acts,
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
    worker,
)
from api.cli.desk import app

__all__ = [
    "acts", "app", "corrections", "held", "house", "keeping", "night", "notes", "people", "places",
    "runs", "ticks", "weeks", "worker",
]  # fmt: skip
