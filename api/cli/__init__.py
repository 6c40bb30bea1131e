"""The book at the command line: the same acts as under /api/v1."""

from api.cli import acts, calls, house, keeping, notes, people, runs, ticks, weeks, wishes, worker
from api.cli.desk import app

__all__ = [
    "acts",
    "app",
    "calls",
    "house",
    "keeping",
    "notes",
    "people",
    "runs",
    "ticks",
    "weeks",
    "wishes",
    "worker",
]
