"""Invented weeks and tiny kitchens for benches and tests, drawn by seed: every figure is demo."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import time, timedelta
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
HARVEST = 9 * HOUR // GRID  # lots come in the first nine staffed hours of a day
HERBS = "aroma"
HERB_KG, LOT_KG, SMALL_KG = range(4, 9), range(20, 131), range(1, 13)
FEWEST_RACKS, CABINET_RACKS, MOST_RACKS = 12, 20, 40
LOTS_A_GROWER = 4
FEWEST_LOTS, FEWEST_DRYERS = 5, 2  # one lot a group; a cabinet and a herb cabinet


def week(seed: int, *, lots: int = 25, dryers: int = 5, asked_percent: int = 130) -> Asked:
    """A plausible week in the bundled august kitchen, grown or shrunk to so many dryers.

    Notes are drawn first; then racks are dealt out to the dryers until asked_share is
    asked_percent. The last dryer is a herb cabinet. ValueError where dryers of 12 to 40 racks
    cannot come to that share, or where there are fewer than 5 lots or 2 dryers.
    """
    if lots < FEWEST_LOTS or dryers < FEWEST_DRYERS:
        raise ValueError(f"a week needs {FEWEST_LOTS} lots and {FEWEST_DRYERS} dryers at least")
    rng = Random(seed)
    asked = _invented(rng, rng.randint(8, 14), lots, WEEKDAYS)
    asked = replace(
        asked,
        name=f"week-{seed}",
        title=f"An invented week: {lots} lots, {dryers} dryers, seed {seed}",
    )
    return _dealt(rng, asked, [CABINET_RACKS, *[FEWEST_RACKS] * (dryers - 1)], asked_percent)


def week_of_size(seed: int, *, lots: int, dryers: int, days: int = WEEKDAYS) -> Asked:
    """A week of any size: cabinets of 20 racks, the last for herbs, whatever is asked of them.

    days: from Monday on, on which lots come.
    """
    rng = Random(seed)
    asked = _invented(rng, max(8, lots // LOTS_A_GROWER), lots, days)
    return replace(
        asked,
        name=f"{lots}-{dryers}-{days}",
        title=f"An invented week: {lots} lots on {days} days, {dryers} dryers, seed {seed}",
        kitchen=_grown(asked.kitchen, [CABINET_RACKS] * dryers),
    )


def _invented(rng: Random, growers: int, lots: int, days: int) -> Asked:
    """So many growers and lots in the august kitchen as it is."""
    august = load("august")
    own = _growers(rng, growers, alone=1 / 8)
    draw = _Draw(rng, august.kitchen, own, _days(august, days), room=CABINET_RACKS, charges=3)
    return replace(august, growers=own, notes=tuple(draw.notes(_called(rng, august, lots))))


def asked_share(asked: Asked) -> float:
    """Rack-hours asked for, over those of single runs: one a weekday in every dryer, all full.

    A single run lasts as long as the longest card that its dryer takes.
    """
    kitchen = asked.kitchen
    called = [(asked.card(note.card_id), note.field_g) for note in asked.notes]
    wanted = sum(_racks(kitchen, card, field_g) * card.drying_s for card, field_g in called)
    held = sum(
        WEEKDAYS * dryer.racks * max(c.drying_s for c in asked.cards if c.group in dryer.groups)
        for dryer in kitchen.dryers
    )
    return wanted / held


def small_kitchen(seed: int) -> Asked:
    """One or two dryers of a few racks, two tables, one steamer, 2 to 5 lots on one or two days.

    Runs start on those days only, so that plans can be enumerated. Lots split from four racks.
    """
    rng, august = Random(seed), load("august")
    kitchen = _small(rng, august.kitchen)
    growers = _growers(rng, rng.randint(2, 3), alone=1 / 3)
    days = _days(august, rng.randint(1, 2))
    cards = tuple(
        replace(card, least_racks=Racks(2), split_from_racks=Racks(4), most_charges=2)
        for card in august.cards
    )
    room = max(dryer.racks for dryer in kitchen.dryers)
    draw = _Draw(rng, kitchen, growers, days, room=room, charges=2)
    notes = draw.notes(rng.choices(cards, k=rng.randint(2, 5)), SMALL_KG)
    return replace(
        august,
        name=f"small-{seed}",
        title=f"An invented small kitchen, seed {seed}",
        kitchen=kitchen,
        cards=cards,
        growers=growers,
        notes=tuple(
            replace(note, latest_start=min(note.latest_start, days[-1].end)) for note in notes
        ),
    )


@dataclass(frozen=True, slots=True)
class _Draw:
    """What notes are drawn from. room: racks of one charge at most; charges: of one lot at most."""

    rng: Random
    kitchen: Kitchen
    growers: tuple[Grower, ...]
    days: tuple[Span, ...]
    room: int
    charges: int

    def notes(self, cards: Sequence[ProcessCard], kgs: Sequence[int] = ()) -> Iterator[HarvestNote]:
        for number, card in enumerate(cards, 1):
            usual = HERB_KG if card.group == HERBS else LOT_KG
            yield self._note(f"N{number:02d}", card, kgs or usual)

    def _note(self, note_id: str, card: ProcessCard, kgs: Sequence[int]) -> HarvestNote:
        fit = [kg for kg in kgs if self._racks(card, kg) <= self.room * self.charges]
        kg = max(self.rng.choices(fit, k=2))  # the heavier of two: few lots are light
        arrives = self.rng.choice(self.days).start + timedelta(
            seconds=GRID * self.rng.randrange(HARVEST)
        )
        whole = self._racks(card, kg) <= self.room and self.rng.random() < 1 / 3
        return HarvestNote(
            id=note_id,
            grower_id=self.rng.choice(self.growers).id,
            card_id=card.id,
            field_g=grams(kg),
            arrives=arrives,
            latest_start=arrives + timedelta(seconds=card.keeping_s),
            may_split=not whole,
        )

    def _racks(self, card: ProcessCard, kg: int) -> int:
        return _racks(self.kitchen, card, grams(kg))


def _racks(kitchen: Kitchen, card: ProcessCard, field_g: Grams) -> int:
    dryer = next(each for each in kitchen.dryers if card.group in each.groups)
    prepared_g = trimmed_g(field_g, card.trim_loss_percent)
    return racks_needed(prepared_g, card.g_per_m2, rack_area_cm2=dryer.rack_area_cm2)


def _called(rng: Random, august: Asked, lots: int) -> list[ProcessCard]:
    """A card of every group, a third of all steamed, the rest as often as in august."""
    called = [august.card(note.card_id) for note in august.notes]
    drawn = [
        rng.choice([card for card in called if card.group == group.id])
        for group in august.kitchen.groups
    ]
    steamed = lots // 3 - sum(card.steam_s > 0 for card in drawn)
    drawn += rng.choices([card for card in called if card.steam_s], k=steamed)
    drawn += rng.choices([card for card in called if not card.steam_s], k=lots - len(drawn))
    rng.shuffle(drawn)
    return drawn


def _growers(rng: Random, count: int, *, alone: float) -> tuple[Grower, ...]:
    """alone: the chance that a grower comes without a second pair of hands."""
    afternoon = time(12), time(19)
    return tuple(
        Grower(
            id=f"G{number:02d}",
            name=f"Grower {number}",
            farm=f"Farm {number}",
            shares=rng.randint(1, 5),
            people=1 if rng.random() < alone else 2,
            cannot=rng.choice([(), (), (), (WeeklyHours(rng.randrange(WEEKDAYS), *afternoon),)]),
            papers=(),
        )
        for number in range(1, count + 1)
    )


def _days(asked: Asked, count: int) -> tuple[Span, ...]:
    """The staffed hours of the week's first days."""
    return asked.kitchen.staffed_spans(asked.week.days[:count])


def _dealt(rng: Random, asked: Asked, sizes: list[int], asked_percent: int) -> Asked:
    """Racks dealt out to all dryers but the last, until no more is asked than asked_percent."""
    lots = f"{len(asked.notes)} such lots"
    fitted = replace(asked, kitchen=_grown(asked.kitchen, sizes))
    if 100 * asked_share(fitted) < asked_percent:
        raise ValueError(f"{lots} do not ask for {asked_percent} percent")
    appetites = [rng.random() for _ in sizes[:-1]]
    while 100 * asked_share(fitted) > asked_percent:
        growing = [at for at, racks in enumerate(sizes[:-1]) if racks < MOST_RACKS]
        if not growing:
            raise ValueError(f"{lots} ask for more than {asked_percent} percent")
        sizes[rng.choices(growing, [appetites[at] for at in growing])[0]] += 1
        fitted = replace(asked, kitchen=_grown(asked.kitchen, sizes))
    return fitted


def _grown(august: Kitchen, sizes: Sequence[int]) -> Kitchen:
    """The august kitchen with dryers of those sizes, and as much of the rest as goes with them."""

    def scaled(amount: int) -> int:
        return max(1, round(amount * len(sizes) / len(august.dryers)))

    cabinet, _, cart, herbs = august.dryers
    likes = [cabinet if racks <= CABINET_RACKS else cart for racks in sizes[:-1]]
    tub = august.chill_tubs[0]
    return replace(
        august,
        id="invented",
        name="Invented kitchen",
        place="nowhere",
        dryers=tuple(
            _dryer(like, number, racks)
            for number, (like, racks) in enumerate(zip([*likes, herbs], sizes, strict=True), 1)
        ),
        steamers=_as_many(august.steamers, scaled(len(august.steamers)), "Steamer"),
        chill_tubs=(replace(tub, holds_g=Grams(scaled(tub.holds_g))),),
        wash_lines=_as_many(august.wash_lines, scaled(len(august.wash_lines)), "Wash line"),
        tables=_as_many(august.tables, scaled(len(august.tables)), "Table"),
        benches=_as_many(august.benches, scaled(len(august.benches)), "Packing bench"),
        cold_store=replace(august.cold_store, crates=scaled(august.cold_store.crates)),
        hands=_hands(august.hands, scaled(len(august.hands))),
        on_call=(),
        limits=replace(august.limits, supply_watts=scaled(august.limits.supply_watts)),
        source="demo (invented by scheduler/weeks.py)",
    )


def _small(rng: Random, august: Kitchen) -> Kitchen:
    """Dryers of 3 to 6 racks that take every group; at times the supply is short."""
    every = frozenset(group.id for group in august.groups)
    cabinet = replace(august.dryers[0], coolest_c=30.0, groups=every)
    sizes = [rng.randint(3, 6) for _ in range(rng.randint(1, 2))]
    watts = rng.choice([11_000, august.limits.supply_watts])
    return replace(
        august,
        id="small",
        name="Small invented kitchen",
        place="nowhere",
        dryers=tuple(_dryer(cabinet, number, racks) for number, racks in enumerate(sizes, 1)),
        steamers=august.steamers[:1],
        tables=august.tables[:2],
        on_call=(),
        limits=replace(august.limits, supply_watts=watts),
        source="demo (invented by scheduler/weeks.py)",
    )


def _dryer(like: Dryer, number: int, racks: int) -> Dryer:
    return replace(
        like,
        id=f"D{number}",
        name=f"Dryer {number}",
        racks=Racks(racks),
        watts=like.watts * racks // like.racks,
    )


def _as_many(stations: tuple[Station, ...], count: int, name: str) -> tuple[Station, ...]:
    """So many stations, like the given ones in turn."""
    letter = stations[0].id[0]
    return tuple(
        replace(each, id=f"{letter}{number}", name=f"{name} {number}")
        for number, each in enumerate(islice(cycle(stations), count), 1)
    )


def _hands(hands: tuple[Hand, ...], count: int) -> tuple[Hand, ...]:
    return tuple(
        replace(each, name=f"Hand {number}")
        for number, each in enumerate(islice(cycle(hands), count), 1)
    )
