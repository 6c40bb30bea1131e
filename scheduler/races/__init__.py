"""Races on published instances: ours beside the dispatcher, the one model and PyJobShop."""

from scheduler.races.peers import MISSING, installed
from scheduler.races.published import Suite, instances
from scheduler.races.race import OURS, Effort, Entry, Race, race_json, races

__all__ = [
    "MISSING", "OURS", "Effort", "Entry", "Race", "Suite", "installed", "instances", "race_json",
    "races",
]  # fmt: skip
