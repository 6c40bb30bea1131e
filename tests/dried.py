"""A lot of the August week brought through its dryer and out, for what comes after."""

from __future__ import annotations

from datetime import datetime

from api.services.lots import door
from api.services.runs import Start, end, start, unload
from scheduler.units import Grams
from tests.book import HAND, doing
from tests.served import AUGUST, Kitchen


def monday(clock: str) -> datetime:
    return datetime.fromisoformat(f"2026-08-17T{clock}-04:00")


def out_of_the_dryer(kitchen: Kitchen) -> tuple[str, int]:
    """R03, dried in D2 on Monday and unloaded at 18:20: its lot code and its run."""
    with kitchen.shelf.writing() as book:
        weighed_g = Grams(AUGUST.note("R03").field_g)
        lot = door(book, doing(HAND, monday("08:05")), "R03", weighed_g)
        run = start(book, doing(HAND, monday("09:55")), Start("D2", monday("09:55")))
        end(book, doing(HAND, monday("17:56")), run.number, monday("17:55"))
        unload(book, doing(HAND, monday("18:20")), run.number, monday("18:20"))
    return lot.code, run.number
