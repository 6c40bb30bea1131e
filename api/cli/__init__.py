"""The book at the command line: the same acts as under /api/v1."""

from api.cli import acts, bills, house, keeping, notes, people, runs, ticks, weeks, worker
from api.cli.desk import app

__all__ = [
    "acts",
    "app",
    "bills",
    "house",
    "keeping",
    "notes",
    "people",
    "runs",
    "ticks",
    "weeks",
    "worker",
]
