"""Scenario folders read into the domain: every fault named, and nothing half-loaded."""

from scheduler.scenario.loading import bundled, load
from scheduler.scenario.published import PublishedCard, load_cards

__all__ = ["PublishedCard", "bundled", "load", "load_cards"]
