"""Invented weeks and tiny kitchens for benches and tests, drawn by seed: every figure is demo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta
from itertools import cycle, islice
from random import Random
from typing import TypeVar

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, WeeklyHours
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.kitchen import Dryer, Hand, Kitchen, PackingBench, Steamer, Table, WashLine
from scheduler.domain.process_card import ProcessCard
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.scenario import load
from scheduler.units import GRID, HOUR, Grams, Racks, grams

Station = TypeVar("Station", Table, Steamer, WashLine, PackingBench)

WEEKDAYS = 5
HARVEST_S = 9 * HOUR  # lots come in the first nine staffed hours of a day
HERBS = "aroma"
HERB_KG, LOT_KG, SMALL_KG = range(4, 9), range(20, 131), range(1, 26)
FEWEST_RACKS, CABINET_RACKS, MOST_RACKS = 12, 20, 40
MOST_CHARGES = 3  # of a lot, on the cards


def week(seed: int, *, lots: int = 25, dryers: int = 5, asked_percent: int = 130) -> Asked:
    """A plausible week on the bundled august kitchen, grown or shrunk to so many dryers.

    Notes are drawn first; then racks are dealt out to the dryers until asked_share is asked_percent.
    The last dryer is a herb cabinet, the first holds at least 20 racks. ValueError where dryers of 12
    to 40 racks cannot come to that share, or with fewer than 5 lots or 2 dryers.
    """
    if lots < WEEKDAYS or dryers < 2:  # noqa: PLR2004 a herb cabinet and another
        raise ValueError("a week needs at least 5 lots and 2 dryers")
    rng, august = Random(seed), load("august")
    growers = tuple(_grower(rng, number, 1 / 8) for number in range(1, rng.randint(8, 14) + 1))
    cards = _drawn_cards(rng, august, lots)
    asked = replace(
        august,
        name=f"week-{seed}",
        title=f"An invented week: {lots} lots, {dryers} dryers, seed {seed}",
        growers=growers,
        notes=tuple(
            _note(rng, number, card=card, growers=growers, days=_days(august, WEEKDAYS))
            for number, card in enumerate(cards, 1)
        ),
    )
    sizes = [CABINET_RACKS, *[FEWEST_RACKS] * (dryers - 1)]
    return _dealt(rng, asked, sizes, asked_percent=asked_percent)


def small_kitchen(seed: int) -> Asked:
    """One or two dryers of a few racks, two tables, one steamer, and 2 to 5 lots on one or two days.

    Runs start on those days only, so that every plan can be enumerated. Lots split from four racks.
    """
    rng, august = Random(seed), load("august")
    kitchen = _small_kitchen(rng, august.kitchen)
    days = _days(august, rng.randint(1, 2))
    growers = tuple(_grower(rng, number, 1 / 3) for number in range(1, rng.randint(2, 3) + 1))
    cards = tuple(
        replace(card, least_racks=Racks(2), split_from_racks=Racks(4), most_charges=2)
        for card in august.cards
    )
    room = max(dryer.racks for dryer in kitchen.dryers)
    notes = tuple(
        _small_note(rng, number, card=rng.choice(cards), growers=growers, days=days, room=room)
        for number in range(1, rng.randint(2, 5) + 1)
    )
    return replace(
        august,
        name=f"small-{seed}",
        title=f"An invented small kitchen, seed {seed}",
        kitchen=kitchen,
        cards=cards,
        growers=growers,
        notes=notes,
    )
