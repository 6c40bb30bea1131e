"""Ways to prepare a charge: at which tables, on which steamers, and how its steps must follow
each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import combinations
from typing import Any

from scheduler.domain.harvest import Grower
from scheduler.domain.kitchen import Kitchen, Steamer
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import RuleBook
from scheduler.problem import FOREVER, PAIR, Recipe, TableKind
from scheduler.process import steaming, work, yields
from scheduler.units import GRID, Grams, Racks, ceil_div


@dataclass(frozen=True, slots=True)
class Weights:
    """A charge's racks and weights; by a gram they depend on which of the lot's racks it has.

    field_g and prepared_g are the most it may weigh, light_g is the least prepared weight.
    """

    racks: Racks
    field_g: Grams
    prepared_g: Grams
    light_g: Grams


@dataclass(frozen=True, slots=True)
class Steaming:
    """A charge on one set of steamers, whichever its tables: starts of its loads in seconds from
    the first, and what of the recipe does not hang on the cut."""

    starts: list[int]
    fields: dict[str, Any]


def like_steamers(kitchen: Kitchen) -> tuple[tuple[Steamer, ...], ...]:
    """Steamers by kind: those of one load, basket, handling and draw together."""
    alike: dict[tuple[int, ...], list[Steamer]] = {}
    for each in kitchen.steamers:
        figures = each.load_g, each.basket_area_cm2, each.handling_s, each.watts
        alike.setdefault(figures, []).append(each)
    return tuple(map(tuple, alike.values()))


@dataclass(frozen=True)
class Cook:
    """Everything that decides how a lot may be prepared here. hands: the most that are ever on
    shift at once."""

    kitchen: Kitchen
    rules: RuleBook
    card: ProcessCard
    grower: Grower
    table_kinds: tuple[TableKind, ...]
    hands: int

    @cached_property
    def steamers(self) -> tuple[tuple[Steamer, ...], ...]:
        return like_steamers(self.kitchen)

    def recipes(self, weights: Weights) -> tuple[Recipe, ...]:
        """Every recipe that keeps the waits of rules 7 and 9; none if the charge is too large
        for all."""
        return tuple(self._all(weights))

    def _all(self, weights: Weights) -> Iterator[Recipe]:
        base = partial(
            Recipe,
            field_g=weights.field_g,
            prepared_g=weights.prepared_g,
            **self._base(weights),
        )
        steamings = tuple(self._steamings(weights)) if self.card.steam_s else ()
        for tables in self._table_sets():
            cut = self._cut_ticks(weights.field_g, tables)
            if not self.card.steam_s:
                yield from self._unsteamed(base, tables, cut)
            for steamed in steamings:
                yield from self._steamed(base, tables, cut, steamed)

    def _table_sets(self) -> Iterator[tuple[int, ...]]:
        """The pair's table alone, or with one further table for two kitchen hands."""
        kinds = range(len(self.table_kinds))
        for first in kinds:
            yield (first,)
        if self.hands >= PAIR or not self.rules.hands:
            yield from combinations(kinds, 2)
            yield from ((kind, kind) for kind in kinds if len(self.table_kinds[kind].ids) > 1)

    def _steamer_sets(self) -> Iterator[tuple[int, ...]]:
        """By kind: one alone, or two."""
        kinds = range(len(self.steamers))
        yield from ((each,) for each in kinds)
        yield from combinations(kinds, 2)
        yield from ((kind, kind) for kind in kinds if len(self.steamers[kind]) > 1)

    def _cut_ticks(self, field_g: Grams, tables: tuple[int, ...]) -> int:
        percent = sum(
            self.table_kinds[kind].slicer_percent if self.card.takes_slicer else 100
            for kind in tables
        )
        rate = self.card.pair_g_per_h * percent
        return ceil_div(work.seconds_for(Grams(field_g * 100), rate), GRID)

    def _base(self, weights: Weights) -> dict[str, Any]:
        kitchen, card = self.kitchen, self.card
        # stations of a kind count as alike: as the slowest of them
        wash_rate = min((line.g_per_h for line in kitchen.wash_lines), default=FOREVER * 1000)
        bags_per_h = min((bench.bags_per_h for bench in kitchen.benches), default=FOREVER)
        dried = yields.dried_g(
            weights.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
        )
        bags = yields.bags(dried, card.bag_g)
        return {
            "racks": weights.racks,
            "wash": ceil_div(work.seconds_for(weights.field_g, wash_rate), GRID),
            "crates": 0
            if card.waits_outside_cold
            else ceil_div(weights.field_g, kitchen.cold_store.crate_g),
            "bags": bags,
            "pack": max(1, ceil_div(work.packing_seconds(bags, bags_per_h), GRID)),
        }

    def _unsteamed(
        self, base: partial[Recipe], tables: tuple[int, ...], cut: int
    ) -> Iterator[Recipe]:
        limits = self.kitchen.limits
        ready = ceil_div(cut * GRID + limits.last_rack_s, GRID)
        latest = FOREVER
        if self.rules.waits:
            filled = (cut * GRID + limits.last_rack_s + limits.filled_to_start_s) // GRID
            latest = min(limits.cut_to_dryer_s // GRID, filled)
        if ready <= latest:
            yield base(
                tables=tables,
                steamers=(),
                cut=cut,
                ready_from=ready,
                ready_to=latest,
            )

    def _steamings(self, weights: Weights) -> Iterator[Steaming]:
        """On every set of steamers that the charge's loads are for, and that keep rule 7; those
        that are alike count as one kind, for a kitchen with many would have too many sets."""
        for steamers in self._steamer_sets():
            used = tuple(self.steamers[kind][0] for kind in steamers)
            limit = min(self._load_g(each) for each in used)
            loads = steaming.loads_needed(weights.prepared_g, limit)
            if loads < len(used) or loads > steaming.loads_needed(weights.light_g, limit):
                continue
            each_g = ceil_div(weights.prepared_g, loads)
            for pace in self._paces(each_g, used, loads):
                yield from self._paced(steamers, (loads, each_g), pace)

    def _paced(
        self, steamers: tuple[int, ...], made: tuple[int, int], pace: tuple[int, int]
    ) -> Iterator[Steaming]:
        """So many loads of so many grams on these steamers, at that pace."""
        (loads, each_g), (cycle_s, tub_g) = made, pace
        handled = [self.steamers[kind][0].handling_s for kind in steamers]
        starts = [(load // len(steamers)) * cycle_s for load in range(loads)]
        steamed_s = self.card.steam_s + max(
            start + handled[load % len(steamers)] for load, start in enumerate(starts)
        )
        ready_from, ready_to = self._ready_window(steamed_s)
        if ready_from <= ready_to:
            yield Steaming(
                starts,
                {
                    "steamers": steamers,
                    "steam": ceil_div(steamed_s, GRID),
                    "ready_from": ready_from,
                    "ready_to": ready_to,
                    "loads": loads,
                    "cycle_s": cycle_s,
                    "tub_g": min(tub_g, each_g * loads),
                    "tub": ceil_div(steamed_s + self.kitchen.chill_tubs[0].chill_s, GRID),
                },
            )

    def _steamed(
        self, base: partial[Recipe], tables: tuple[int, ...], cut: int, steamed: Steaming
    ) -> Iterator[Recipe]:
        steam_from, steam_to = self._steam_window(cut * GRID, steamed.starts)
        if not self._minded_while_cutting(len(tables), len(steamed.fields["steamers"])):
            steam_from = max(steam_from, cut)
        if steam_from <= steam_to:
            yield base(
                tables=tables,
                cut=cut,
                steam_from=steam_from,
                steam_to=steam_to,
                **steamed.fields,
            )

    def _minded_while_cutting(self, tables: int, steamers: int) -> bool:
        """Rule 12: whether hands suffice for the steamers while the pair, and they, still cut."""
        cutting = PAIR * (tables - 1) + max(0, PAIR - self.grower.people)
        return not self.rules.hands or cutting + steamers <= self.hands

    def _load_g(self, steamer: Steamer) -> Grams:
        return steaming.load_g(
            steamer.load_g,
            steamer.basket_area_cm2,
            depth_mm=self.kitchen.limits.basket_depth_mm,
            loose_g_per_l=self.card.loose_g_per_l,
        )

    def _cycle(self, used: tuple[Steamer, ...]) -> int:
        return self.card.steam_s + max(each.handling_s for each in used)

    def _paces(
        self, each_g: int, used: tuple[Steamer, ...], loads: int
    ) -> Iterator[tuple[int, int]]:
        """Seconds from load to load, and the most grams in the tub: loads wait for room in it, or
        need not where steamers and tub have no number."""
        tub = self.kitchen.chill_tubs[0]
        room = tub.holds_g // (each_g * len(used))
        if room == 0:
            return
        quickest = self._cycle(used)
        waiting = max(quickest, ceil_div(tub.chill_s, room))
        waits = self.rules.steamers or loads <= len(used)
        for cycle in {waiting} if waits else sorted({quickest, waiting}):
            yield cycle, min(ceil_div(tub.chill_s, cycle), room) * each_g * len(used)

    def _steam_window(self, cut_s: int, starts: list[int]) -> tuple[int, int]:
        """Rule 9 for every basket: cut before it is steamed, and steamed soon enough."""
        loads = len(starts)
        cut_at = [ceil_div(cut_s * (load + 1), loads) for load in range(loads)]
        earliest = max(done - start for done, start in zip(cut_at, starts, strict=True))
        if not self.rules.waits:
            return ceil_div(earliest, GRID), FOREVER
        wait = self.kitchen.limits.cut_to_steam_s
        latest = min(
            cut_s * (load + 1) // loads + wait - start for load, start in enumerate(starts)
        )
        return ceil_div(earliest, GRID), latest // GRID

    def _ready_window(self, steamed_s: int) -> tuple[int, int]:
        """Run start after steaming starts: last rack filled, and within both waits."""
        limits = self.kitchen.limits
        filled = steamed_s + self.kitchen.chill_tubs[0].chill_s + limits.last_rack_s
        if not self.rules.waits:
            return ceil_div(filled, GRID), FOREVER
        latest = min(filled + limits.filled_to_start_s, self.card.steam_s + limits.steam_to_dryer_s)
        return ceil_div(filled, GRID), latest // GRID
