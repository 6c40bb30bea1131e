"""The invented season's harvest notes: lots and kg of each month as given, all else drawn by seed.

Everything here is demo (Corrowell Valley). Lots, kg and days open of a month are the figures of the
demo scenario's season table; who grows what and how much a lot weighs follow its growers and weeks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from itertools import pairwise
from random import Random

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week, local_instant
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.process_card import ProcessCard
from scheduler.units import grams

YEAR = 2026


@dataclass(frozen=True, slots=True)
class Month:
    """What a month is to come to. weekdays: those on which the kitchen is open (Monday = 0), less
    the days of closed."""

    month: int
    lots: int
    field_kg: int
    weekdays: range
    closed: tuple[int, ...] = ()

    def open_days(self) -> tuple[date, ...]:
        first = date(YEAR, self.month, 1)
        days = (first + timedelta(days=each) for each in range(31))
        return tuple(
            day
            for day in days
            if day.month == self.month
            and day.weekday() in self.weekdays
            and day.day not in self.closed
        )


MONTHS = (  # days open: 10, 13, 21, 26, 26, 26, 22, 12
    Month(4, 14, 420, range(2, 4)),
    Month(5, 22, 610, range(2, 5)),
    Month(6, 41, 1480, range(5), (1,)),
    Month(7, 78, 3950, range(6), (4,)),
    Month(8, 104, 5620, range(6)),
    Month(9, 112, 6340, range(6)),
    Month(10, 63, 3200, range(5)),
    Month(11, 24, 900, range(2, 5)),
)


@dataclass(frozen=True, slots=True)
class Crop:
    """When a crop comes, from whom, how heavy its lots are (kg), and how often it is drawn."""

    card_id: str
    growers: tuple[str, ...]
    months: tuple[int, ...]
    lightest: int
    heaviest: int
    often: int


CROPS = (
    Crop("tomato", ("G01", "G08", "G11"), (7, 8, 9, 10), 55, 125, 9),
    Crop("kale", ("G03", "G10"), (4, 5, 6, 9, 10, 11), 25, 59, 4),
    Crop("zucchini", ("G04", "G10"), (6, 7, 8, 9), 30, 85, 5),
    Crop("bean", ("G04", "G06"), (7, 8, 9), 30, 75, 3),
    Crop("carrot", ("G02", "G03", "G09"), (4, 7, 8, 9, 10, 11), 40, 115, 4),
    Crop("beet", ("G03", "G09"), (4, 5, 7, 8, 9, 10, 11), 35, 60, 2),
    Crop("corn", ("G06",), (8, 9), 80, 120, 2),
    Crop("mushroom", ("G12",), (4, 5, 6, 7, 8, 9, 10, 11), 25, 35, 3),
    Crop("pepper", ("G05", "G11"), (8, 9, 10), 45, 120, 4),
    Crop("onion", ("G02",), (7, 8, 9, 10, 11), 40, 105, 3),
    Crop("chili", ("G05", "G08"), (8, 9, 10), 20, 40, 2),
    Crop("basil", ("G01", "G07"), (6, 7, 8, 9), 6, 9, 2),
    Crop("parsley", ("G07", "G10"), (4, 5, 6, 7, 8, 9, 10, 11), 5, 8, 2),
)
FIRST_HOUR, HALF_HOURS = 8, 7  # lots come from 08:00 to 11:00, on the half hour
UNEVEN = (0.8, 1.0, 1.2)  # how much of half a month's lots falls into a week, by chance


def weeks_of(season: Asked, seed: int) -> tuple[Asked, ...]:
    """April to November, a week each, in the given kitchen, which is closed on all other days.

    Every month has its lots and, to the kilogram, its field weight.
    """
    rng = Random(seed)
    notes = sorted(
        (note for month in MONTHS for note in _month(rng, season, month)),
        key=lambda note: note.arrives,
    )
    kitchen = _closed(season.kitchen)
    zone = kitchen.zone
    by_week: dict[Week, list[HarvestNote]] = {}
    for note in notes:
        by_week.setdefault(Week.of(note.arrives.astimezone(zone).date()), []).append(note)
    return tuple(
        replace(
            season,
            name=str(week),
            title=f"An invented season, week {week}",
            kitchen=kitchen,
            week=week,
            notes=tuple(_numbered(week, own)),
        )
        for week, own in sorted(by_week.items())
    )


def _closed(kitchen: Kitchen) -> Kitchen:
    opened = {day for month in MONTHS for day in month.open_days()}
    days = (date(YEAR, 3, 1) + timedelta(days=each) for each in range(300))
    return replace(kitchen, closures=tuple(day for day in days if day not in opened))


def _numbered(week: Week, notes: Sequence[HarvestNote]) -> Iterator[HarvestNote]:
    for number, note in enumerate(notes, 1):
        yield replace(note, id=f"N{week.number}-{number:02d}")


def _month(rng: Random, season: Asked, month: Month) -> Iterator[HarvestNote]:
    crops = [crop for crop in CROPS if month.month in crop.months]
    drawn, weights = _lots(rng, crops, month)
    days = _good_days(month.open_days())
    uneven = {Week.of(day): rng.choice(UNEVEN) for day in days}
    evenly = (days * month.lots)[: month.lots // 2]
    by_chance = rng.choices(
        days, [uneven[Week.of(day)] for day in days], k=month.lots - len(evenly)
    )
    when = rng.sample([*evenly, *by_chance], k=month.lots)
    for crop, kg, day in zip(drawn, weights, when, strict=True):
        yield _note(rng, season, crop, kg=kg, day=day)


def _lots(rng: Random, crops: Sequence[Crop], month: Month) -> tuple[list[Crop], list[int]]:
    """Drawn again where such lots cannot come to the month's weight."""
    while True:
        drawn = rng.choices(crops, [crop.often for crop in crops], k=month.lots)
        least, most = (
            sum(getattr(crop, end) for crop in drawn) for end in ("lightest", "heaviest")
        )
        if least <= month.field_kg <= most:
            return drawn, _weights(rng, drawn, month.field_kg)


def _good_days(days: Sequence[date]) -> list[date]:
    """Days to bring lots on: nobody brings any on the eve of a closed day."""
    return [day for day, after in pairwise(days) if after - day == timedelta(days=1)]


def _weights(rng: Random, drawn: Sequence[Crop], total: int) -> list[int]:
    """Whole kilograms within each crop's range that add up to the total, which they can."""
    weights = [rng.randint(crop.lightest, crop.heaviest) for crop in drawn]
    while (short := total - sum(weights)) != 0:
        step = 1 if short > 0 else -1
        can = [
            place
            for place, crop in enumerate(drawn)
            if crop.lightest <= weights[place] + step <= crop.heaviest
        ]
        weights[rng.choice(can)] += step
    return weights


def _note(rng: Random, season: Asked, crop: Crop, *, kg: int, day: date) -> HarvestNote:
    card: ProcessCard = season.card(crop.card_id)
    minutes = 30 * rng.randrange(HALF_HOURS)
    at = time(FIRST_HOUR + minutes // 60, minutes % 60)
    arrives = local_instant(day, at, season.kitchen.zone)
    return HarvestNote(
        id="",
        grower_id=rng.choice(crop.growers),
        card_id=card.id,
        field_g=grams(kg),
        arrives=arrives,
        latest_start=arrives + timedelta(seconds=card.keeping_s),
        standing=crop.card_id == "mushroom",
    )
