"""From notes to lots, and from lots to the integers that the search sees."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer, Kitchen
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import FULL, RuleBook
from scheduler.prepare.calendar import Calendar
from scheduler.prepare.part_lots import for_part_lots, part_runs
from scheduler.prepare.recipes import Cook, Weights, like_steamers
from scheduler.prepare.wishes import is_pinned, left_free, stands, where
from scheduler.problem import FOREVER, PAIR, DryerSpec, Lot, Problem, Recipe, SteamerKind, TableKind
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.started import stopped_early
from scheduler.units import GRID, Grams, Racks, ceil_div, seconds_from_minutes

EASIER_STEAM_S = seconds_from_minutes(30)  # easier rules: added where a crop is steamed (demo)


Sizes = Mapping[str, frozenset[int]]  # note -> racks


def problem(asked: Asked, rules: RuleBook = FULL, *, sizes: Sizes | None = None) -> Problem:
    """The week as integers, under a rule book.

    sizes: charge sizes of the notes that have their places already; only these are made for them.
    """
    kitchen = asked.kitchen
    calendar = Calendar(asked)
    hands = calendar.hands()
    growers = tuple(grower.id for grower in asked.growers)
    groups = tuple(group.id for group in kitchen.groups)
    return Problem(
        rules=rules,
        origin=calendar.origin,
        days=calendar.days,
        horizon=calendar.horizon,
        now=_now(asked, calendar),
        lots=lots(asked, calendar, rules, sizes=sizes or {}),
        dryers=tuple(_dryer(asked, calendar, rules, index) for index in range(len(kitchen.dryers))),
        steamer_kinds=tuple(
            SteamerKind(tuple(each.id for each in alike), alike[0].watts)
            for alike in like_steamers(kitchen)
        ),
        table_kinds=table_kinds(kitchen),
        growers=growers,
        groups=groups,
        washes=_washes(kitchen, rules),
        staffed=calendar.mask(asked.staffed()),
        hands=hands,
        away=tuple(
            calendar.touched((*asked.cannot_come(grower), *asked.promised.spans_of(grower.id)))
            for grower in asked.growers
        ),
        wash_line_ids=tuple(each.id for each in kitchen.wash_lines),
        bench_ids=tuple(each.id for each in kitchen.benches),
        tub_id=kitchen.chill_tubs[0].id if kitchen.chill_tubs else "",
        tub_g=kitchen.chill_tubs[0].holds_g if kitchen.chill_tubs else 0,
        cold_store_id=kitchen.cold_store.id,
        chill=kitchen.chill_tubs[0].chill_s / GRID if kitchen.chill_tubs else 1.0,
        crates=kitchen.cold_store.crates,
        supply_watts=kitchen.limits.supply_watts,
        background_watts=_background(asked, calendar),
        cool_hold=kitchen.limits.cool_hold_most_s // GRID,
        unloaded_within=kitchen.limits.unloaded_within_s // GRID,
        check_after=ceil_div(kitchen.limits.cool_s + kitchen.limits.sample_closed_s, GRID),
        check=ceil_div(kitchen.limits.dry_check_s, GRID),
        goals=kitchen.goals,
        down=_down(asked, calendar),
    )


def and_note(problem: Problem, asked: Asked, note: HarvestNote) -> Problem:
    """A week that is prepared already with one note more, last in order of call; it is now as late
    as in asked."""
    calendar = Calendar(asked)
    lot = _Lot(asked, calendar, problem.rules, note).made(len(problem.lots), None)
    return replace(problem, lots=(*problem.lots, lot), now=_now(asked, calendar))


def with_part_lots(problem: Problem, asked: Asked) -> Problem:
    """The same week with the part-lots that asked promises in place of others."""
    calendar, dryers = Calendar(asked), range(len(asked.kitchen.dryers))
    made = tuple(_dryer(asked, calendar, problem.rules, index) for index in dryers)
    return replace(problem, dryers=made, background_watts=_background(asked, calendar))


def one_lot(asked: Asked, rules: RuleBook, note: HarvestNote, *, index: int) -> Lot:
    """A note's lot in every size, under a rule book."""
    return _Lot(asked, Calendar(asked), rules, note).made(index, None)


def under(problem: Problem, kitchen: Kitchen, rules: RuleBook) -> Problem:
    """The week under other rules, of the same kind (full or easier); lots stay as they are."""
    return replace(problem, rules=rules, washes=_washes(kitchen, rules))


def _washes(kitchen: Kitchen, rules: RuleBook) -> frozenset[tuple[int, int]]:
    """Pairs of groups between which the dryer is washed down."""
    groups = tuple(group.id for group in kitchen.groups)
    return frozenset(
        (groups.index(group.id), groups.index(after))
        for group in kitchen.groups
        for after in group.wash_down_before
        if rules.wash_downs
    )


def _now(asked: Asked, calendar: Calendar) -> int:
    return 0 if asked.happened.now is None else max(0, calendar.up(asked.happened.now))


def table_kinds(kitchen: Kitchen) -> tuple[TableKind, ...]:
    """Tables that are alike, the fastest kind first."""
    rates = sorted({table.slicer_percent for table in kitchen.tables}, reverse=True)
    return tuple(
        TableKind(tuple(t.id for t in kitchen.tables if t.slicer_percent == rate), rate)
        for rate in rates
    )


def lots(asked: Asked, calendar: Calendar, rules: RuleBook, *, sizes: Sizes) -> tuple[Lot, ...]:
    """One lot for every note that asks for a place, in order of call."""
    return tuple(
        _Lot(asked, calendar, rules, note).made(index, sizes.get(note.id))
        for index, note in enumerate(asked.open_notes())
    )


class _Lot:
    """One note on its way to being a lot."""

    def __init__(
        self, asked: Asked, calendar: Calendar, rules: RuleBook, note: HarvestNote
    ) -> None:
        self.asked, self.calendar, self.rules, self.note = asked, calendar, rules, note
        self.card: ProcessCard = asked.card(note.card_id)
        self.prepared_g = trimmed_g(note.field_g, self.card.trim_loss_percent)
        self.where = where(asked, calendar, note.id)
        self.stands = stands(asked, note.id)

    def made(self, index: int, only: frozenset[int] | None) -> Lot:
        """only: the sizes to make, where not all are wanted."""
        asked, card, note = self.asked, self.card, self.note
        dryers, racks = self._dryers()
        grower = asked.grower(note.grower_id)
        group = asked.kitchen.group(card.group)
        splits = not self.rules.easier and note.may_split and racks >= card.split_from_racks
        parts = self._parts(dryers) if self.rules.easier else ()
        arrives = max(0, self._ready() if self.rules.easier else self.calendar.up(note.arrives))
        return Lot(
            index=index,
            note_id=note.id,
            grower=[each.id for each in asked.growers].index(grower.id),
            alone=grower.people < PAIR,
            slicer=card.takes_slicer,
            group=[each.id for each in asked.kitchen.groups].index(group.id),
            coolest=round(10 * (card.set_point_c - (0 if self.rules.easier else card.tolerance_c))),
            hottest=round(10 * (card.set_point_c + (0 if self.rules.easier else card.tolerance_c))),
            drying=ceil_div(card.drying_s, GRID),
            at_door=max(0, self.calendar.down(note.arrives)),
            arrives=arrives,
            earliest=max(arrives, self._wished_from()),
            latest=min(self.calendar.down(note.latest_start), self._wished_to()),
            field_g=note.field_g,
            prepared_g=self.prepared_g,
            keeping=max(1, ceil_div(card.keeping_s, GRID)),
            dryers=dryers,
            racks=racks,
            change_over=ceil_div(
                max(group.change_over_s, asked.kitchen.limits.change_over_s), GRID
            ),
            rest=ceil_div(card.rest_s, GRID),
            pack_within=card.pack_within_s // GRID,
            most_charges=len(parts) if parts else (card.most_charges if splits else 1),
            least_racks=card.least_racks if splits else racks,
            parts=parts,
            sizes=self._sizes(racks, (card.least_racks if splits else racks), parts, only),
            pinned=is_pinned(asked, note.id),
            where=self.where,
        )

    def _wished_from(self) -> int:
        """The first start that wishes leave on any dryer."""
        starts = [(mask & -mask).bit_length() - 1 for mask in self.where if mask]
        return min(starts, default=0) if not self.stands else 0

    def _wished_to(self) -> int:
        """The last start that wishes leave on any dryer."""
        starts = [mask.bit_length() - 1 for mask in self.where if mask]
        return max(starts, default=FOREVER) if not self.stands else FOREVER

    def _ready(self) -> int:
        """Easier rules: when all of the lot could be prepared."""
        seconds = ceil_div(self.note.field_g * 3600, self.card.pair_g_per_h)
        steam = EASIER_STEAM_S if self.card.steam_s else 0
        return ceil_div(self.calendar.seconds(self.note.arrives) + seconds + steam, GRID)

    def _dryers(self) -> tuple[tuple[int, ...], int]:
        """The dryers it may go to (all of one rack area) and the racks that all of it needs
        there."""
        card = self.card
        fit = [
            (index, dryer)
            for index, dryer in enumerate(self.asked.kitchen.dryers)
            if card.group in dryer.groups
            and self._climate_fits(dryer)
            and (self.stands or not self.where or self.where[index])
        ]
        if not fit:
            return (), Racks(1)
        racks_by_area: dict[int, int] = {}
        for _, dryer in fit:
            racks_by_area[dryer.rack_area_cm2] = (
                racks_by_area.get(dryer.rack_area_cm2, 0) + dryer.racks
            )
        area = max(racks_by_area, key=lambda each: racks_by_area[each] * each)
        racks = racks_needed(self.prepared_g, card.g_per_m2, rack_area_cm2=area)
        return tuple(index for index, dryer in fit if dryer.rack_area_cm2 == area), racks

    def _climate_fits(self, dryer: Dryer) -> bool:
        spread = 0 if self.rules.easier else self.card.tolerance_c
        lowest, highest = self.card.set_point_c - spread, self.card.set_point_c + spread
        return lowest <= dryer.hottest_c and dryer.coolest_c <= highest

    def _parts(self, dryers: tuple[int, ...]) -> tuple[int, ...]:
        """Easier rules: racks of each part for the lot whole, in two and in three equal parts."""
        area = self.asked.kitchen.dryers[dryers[0]].rack_area_cm2 if dryers else 1
        return tuple(
            racks_needed(
                Grams(ceil_div(self.prepared_g, count)), self.card.g_per_m2, rack_area_cm2=area
            )
            for count in (1, 2, 3)
        )

    def _sizes(
        self, racks: int, least: int, parts: tuple[int, ...], only: frozenset[int] | None
    ) -> dict[int, tuple[Recipe, ...]]:
        if parts:
            return {n: (Recipe(n, Grams(0), Grams(0), (), (), wash=0, cut=0),) for n in parts}
        cook = Cook(
            self.asked.kitchen,
            self.rules,
            self.card,
            self.asked.grower(self.note.grower_id),
            table_kinds(self.asked.kitchen),
            self.calendar.most_hands,
        )
        largest = min(racks, max((d.racks for d in self.asked.kitchen.dryers), default=0))
        wanted = range(least, largest + 1) if only is None else sorted(only)
        made = {size: cook.recipes(self._weights(size, racks)) for size in wanted}
        return {size: recipes for size, recipes in made.items() if recipes}

    def _weights(self, size: int, racks: int) -> Weights:
        return Weights(
            Racks(size),
            Grams(ceil_div(self.note.field_g * size, racks)),
            Grams(ceil_div(self.prepared_g * size, racks)),
            Grams(self.prepared_g * size // racks),
        )


def _dryer(asked: Asked, calendar: Calendar, rules: RuleBook, index: int) -> DryerSpec:
    dryer = asked.kitchen.dryers[index]
    groups = [group.id for group in asked.kitchen.groups]
    free_from, last_group = _after_started(asked, calendar, dryer)
    return DryerSpec(
        index=index,
        id=dryer.id,
        racks=dryer.racks,
        coolest=round(10 * dryer.coolest_c),
        hottest=round(10 * dryer.hottest_c),
        watts=dryer.watts,
        late_watts=dryer.watts * dryer.later_draw_percent // 100,
        full_draw=ceil_div(dryer.full_draw_s, GRID),
        groups=frozenset(groups.index(each) for each in dryer.groups),
        turn_round=ceil_div(dryer.turn_round_s, GRID),
        unload=0 if rules.easier else ceil_div(dryer.unload_s, GRID),
        wash_down=ceil_div(dryer.wash_down_s, GRID),
        unattended=dryer.runs_unattended,
        free_from=free_from,
        last_group=last_group,
        down=tuple(_no_use(asked, calendar, dryer)),
    )


def _no_use(asked: Asked, calendar: Calendar, dryer: Dryer) -> Iterator[tuple[int, int]]:
    """When a dryer is down, taken by another plan or left free by hand, or a part-lot dries on in
    it."""
    for each in asked.happened.outages:
        if each.station_id == dryer.id:
            back = FOREVER if each.back is None else calendar.up(each.back)
            yield calendar.down(each.stopped), back
    for span in (*asked.promised.spans_of(dryer.id), *left_free(asked, dryer.id)):
        yield calendar.down(span.start), calendar.up(span.end)
    yield from for_part_lots(asked, calendar, dryer)


def _after_started(asked: Asked, calendar: Calendar, dryer: Dryer) -> tuple[int, int | None]:
    """Staffed time from which a dryer is free after its started runs, and the group it held
    last."""
    free, group = 0, None
    runs = sorted(
        (run for run in asked.happened.runs if run.dryer_id == dryer.id), key=lambda r: r.start
    )
    groups = [each.id for each in asked.kitchen.groups]
    for run in runs:
        end = calendar.up(stopped_early(asked, run))
        free = max(free, calendar.staffed_time(end) + ceil_div(dryer.turn_round_s, GRID))
        group = groups.index(asked.card(asked.note(run.charges[0].note_id).card_id).group)
    return free, group


def _background(asked: Asked, calendar: Calendar) -> tuple[tuple[int, int, int], ...]:
    """What started runs and those of part-lots draw: full, then the later share."""
    drawn: list[tuple[int, int, int]] = []
    runs = {(each.dryer_id, each.start, stopped_early(asked, each)) for each in asked.happened.runs}
    for dryer_id, begins, ends in sorted(runs | part_runs(asked)):
        dryer = asked.kitchen.dryer(dryer_id)
        start, end = max(0, calendar.down(begins)), calendar.up(ends)
        turn = min(end, start + ceil_div(dryer.full_draw_s, GRID))
        drawn.append((start, turn, dryer.watts))
        drawn.append((turn, end, dryer.watts * dryer.later_draw_percent // 100))
    return tuple(each for each in drawn if each[0] < each[1])


def _down(asked: Asked, calendar: Calendar) -> dict[str, int]:
    """When stations that are not dryers are down, or taken by another plan."""
    last = asked.staffed()[-1].end
    stations = asked.kitchen.station_ids
    down = {
        each.who: calendar.touched(asked.promised.spans_of(each.who))
        for each in asked.promised.taken
        if each.who in stations
    }
    for each in asked.happened.outages:
        span = Span(each.stopped, max(each.stopped, each.back or last))
        down[each.station_id] = down.get(each.station_id, 0) | calendar.touched([span])
    return down
