"""A charge in full: weights to the gram, tables, every basket, dry check and packing turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import (
    GROWER,
    HANDS,
    AfterDryer,
    Charge,
    Preparation,
    SteamLoad,
    TablePlace,
)
from scheduler.domain.process_card import ProcessCard
from scheduler.expand.duties import Need
from scheduler.problem import DraftCharge, Lot, Problem
from scheduler.process import racks as rack_arithmetic
from scheduler.process import steaming, yields
from scheduler.units import GRID, Grams, Racks


@dataclass(frozen=True, slots=True)
class Weighed:
    """A draft charge with its letter, its share of the lot's weight, and the places it was
    given."""

    draft: DraftCharge
    letter: str
    first_rack: int
    field_g: Grams
    prepared_g: Grams
    wash_line_id: str
    tables: tuple[str, ...]
    steamers: tuple[str, ...]
    bench_id: str


def share(problem: Problem, lot: Lot, weight: Grams, which: tuple[int, int, int]) -> Grams:
    """The share of one charge; which: (its racks, racks of the charges before it, number of all
    charges)."""
    racks, before, charges = which
    if problem.rules.easier:
        return rack_arithmetic.share_g(
            weight, Racks(1), of_racks=Racks(charges), before_racks=before
        )
    return rack_arithmetic.share_g(
        weight, Racks(racks), of_racks=Racks(lot.racks), before_racks=before
    )


@dataclass(frozen=True, slots=True)
class Kitchenful:
    """What every charge of a plan shares."""

    asked: Asked
    problem: Problem

    def at(self, tick: int, seconds: float = 0) -> datetime:
        return self.problem.origin + timedelta(seconds=tick * GRID + seconds)

    def span(self, start: int, length: int) -> Span:
        return Span(self.at(start), self.at(start + length))

    def note(self, weighed: Weighed) -> HarvestNote:
        return self.asked.note(self.problem.lots[weighed.draft.lot].note_id)

    def card(self, weighed: Weighed) -> ProcessCard:
        return self.asked.card(self.note(weighed).card_id)

    def charge(self, weighed: Weighed) -> Charge:
        rules = self.problem.rules
        return Charge(
            note_id=self.note(weighed).id,
            letter=weighed.letter,
            racks=Racks(weighed.draft.recipe.racks),
            first_rack=weighed.first_rack,
            field_g=weighed.field_g,
            prepared_g=weighed.prepared_g,
            preparation=None if rules.easier else self._preparation(weighed),
            after=self._after(weighed) if rules.packing else None,
        )

    def _preparation(self, weighed: Weighed) -> Preparation:
        draft = weighed.draft
        cut = self.span(draft.cut, draft.recipe.cut)
        loads = tuple(self._loads(weighed))
        done = max((load.chilled for load in loads), default=cut.end)
        crews = (GROWER, *(HANDS for _ in weighed.tables[1:]))
        return Preparation(
            wash_line_id=weighed.wash_line_id,
            wash=self.span(draft.wash, draft.recipe.wash),
            cut=cut,
            tables=tuple(TablePlace(*each) for each in zip(weighed.tables, crews, strict=True)),
            steam_loads=loads,
            last_rack=done + timedelta(seconds=self.asked.kitchen.limits.last_rack_s),
        )

    def _loads(self, weighed: Weighed) -> Iterator[SteamLoad]:
        draft, card, kitchen = weighed.draft, self.card(weighed), self.asked.kitchen
        if not draft.recipe.steamers:
            return
        used = [each for name in weighed.steamers for each in kitchen.steamers if each.id == name]
        limit = min(
            steaming.load_g(
                each.load_g,
                each.basket_area_cm2,
                depth_mm=kitchen.limits.basket_depth_mm,
                loose_g_per_l=card.loose_g_per_l,
            )
            for each in used
        )
        tub = kitchen.chill_tubs[0]
        loads = steaming.loads_needed(weighed.prepared_g, limit)
        for place, weight in enumerate(steaming.equal_loads(weighed.prepared_g, loads)):
            steamer = used[place % len(used)]
            start = self.at(draft.steam, (place // len(used)) * draft.recipe.cycle_s)
            steamed = start + timedelta(seconds=card.steam_s)
            end = steamed + timedelta(seconds=steamer.handling_s)
            chilled = end + timedelta(seconds=tub.chill_s)
            yield SteamLoad(steamer.id, tub.id, start, steamed, end, chilled, weight)

    def _after(self, weighed: Weighed) -> AfterDryer:
        draft, card = weighed.draft, self.card(weighed)
        dried = yields.dried_g(
            weighed.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
        )
        return AfterDryer(
            dry_check=self.span(draft.check, self.problem.check),
            bench_id=weighed.bench_id,
            packing=self.span(draft.pack, draft.recipe.pack),
            bags=yields.bags(dried, card.bag_g),
        )

    def needs(self, weighed: Weighed, charge: Charge) -> Iterator[Need]:
        """Every kitchen hand that a charge needs."""
        draft, made = weighed.draft, charge.preparation
        lot = self.problem.lots[draft.lot]
        assert made is not None
        if lot.alone:
            yield Need(made.wash, "help", made.wash_line_id, charge.code)
            yield Need(made.cut, "help", made.tables[0].table_id, charge.code)
        for place in made.tables[1:]:
            for _ in range(2):
                yield Need(made.cut, "cut", place.table_id, charge.code)
        yield from self._steam_needs(weighed, charge)
        if charge.after is not None:
            yield Need(charge.after.dry_check, "dry check", self._meter(), charge.code)

    def _meter(self) -> str:
        meters = self.asked.kitchen.meters
        return meters[0].id if meters else ""

    def attended(self, charge: Charge) -> Iterator[tuple[str, Span]]:
        """Each steamer of a charge, from its first load to its last one's end; the latest first."""
        assert charge.preparation is not None
        loads = charge.preparation.steam_loads
        spans = {}
        for steamer_id in dict.fromkeys(load.steamer_id for load in loads):
            own = [load for load in loads if load.steamer_id == steamer_id]
            spans[steamer_id] = Span(own[0].start, own[-1].end)
        yield from sorted(spans.items(), key=lambda each: each[1].end, reverse=True)

    def pair_from(self, weighed: Weighed, span: Span) -> datetime:
        """From when the grower's own pair minds the latest steamer; the span's end if it does
        not."""
        if not weighed.draft.pair_attends:
            return span.end
        cut_done = self.at(weighed.draft.cut + weighed.draft.recipe.cut)
        return min(span.end, max(span.start, cut_done))

    def _steam_needs(self, weighed: Weighed, charge: Charge) -> Iterator[Need]:
        for place, (steamer_id, span) in enumerate(self.attended(charge)):
            until = self.pair_from(weighed, span) if place == 0 else span.end
            if span.start < until:
                yield Need(Span(span.start, until), "steam", steamer_id, charge.code)
