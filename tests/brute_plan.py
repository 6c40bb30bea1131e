"""A plan from what brute force found: every basket, place and name of a hand, for the verifier."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import groupby
from typing import Any

from scheduler.domain.clock import Span
from scheduler.domain.plan import (
    GROWER,
    HANDS,
    AfterDryer,
    Charge,
    Duty,
    Plan,
    Preparation,
    Run,
    SteamLoad,
    TablePlace,
    Work,
)
from scheduler.domain.rules import RuleBook
from scheduler.units import Grams, Racks
from tests import brute_times
from tests.brute_search import EMPTY, PACK, PREPARE, Timed
from tests.brute_times import HAND, LAST_RACK, Emptied, Packed, Prepared
from tests.builders import WEEK
from tests.tiny import RACK_G, SLOT, Tiny, instant

BAGS = 4  # of a rack: 4 kg dry to 400 g, in bags of 100 g
Need = tuple[Work, str, str, int, int]  # work, station, subject, from, to: for one hand


def plan_of(tiny: Tiny, rules: RuleBook, timed: Timed | None) -> Plan:
    """The plan with those times; an empty one where nothing has a place."""
    written = None if timed is None else _Written(tiny, rules, timed)
    runs = () if written is None else tuple(written.runs())
    duties = () if written is None else tuple(written.duties())
    return Plan(WEEK, rules.name, runs, duties)


class _Written:
    """Runs and charges in order of start, with a table for every crew."""

    def __init__(self, tiny: Tiny, rules: RuleBook, timed: Timed) -> None:
        self.tiny, self.rules, self.timed = tiny, rules, timed
        order = sorted(enumerate(timed.runs), key=lambda each: each[1].start)
        self.numbers = [number for number, _ in order]
        charges = [(n, m) for n in self.numbers for m in range(len(timed.runs[n].parts))]
        cuts = [(self._prepared(*each).cut, self._cut_end(*each), each) for each in charges]
        crews = [
            (start, end, (each, crew))
            for start, end, each in cuts
            for crew in range(self._prepared(*each).tables)
        ]
        self.tables = {key: table for (_, _, key), table in _places(crews, tiny.tables)}
        self.of_lot: dict[int, list[tuple[int, int]]] = {}
        for number, place in charges:
            lot = timed.runs[number].parts[place].lot
            self.of_lot.setdefault(lot, []).append((number, place))

    def _prepared(self, number: int, place: int) -> Prepared:
        choice = self.timed.chosen[PREPARE, number, place]
        assert isinstance(choice, Prepared)
        return choice

    def _emptied(self, number: int) -> Emptied:
        choice = self.timed.chosen[EMPTY, number, 0]
        assert isinstance(choice, Emptied)
        return choice

    def _racks(self, number: int, place: int) -> int:
        return self.timed.runs[number].parts[place].racks

    def _cut_end(self, number: int, place: int) -> int:
        how = self._prepared(number, place)
        return how.cut + self._racks(number, place) * 2 // how.tables

    def runs(self) -> Iterator[Run]:
        for number in self.numbers:
            run, emptied = self.timed.runs[number], self._emptied(number)
            end = run.start + run.drying
            released = self.timed.ways.released(end)
            assert released is not None
            washed = emptied.wash_down
            yield Run(
                id=f"R{number}",
                dryer_id=f"D{run.dryer}",
                set_point_c=57.0,
                start=instant(run.start),
                end=instant(end),
                released=instant(released),
                unload=_span(emptied.unload, 1),
                wash_down=None if washed is None else _span(washed, brute_times.WASH_DOWN),
                charges=tuple(self._charge(number, place) for place in range(len(run.parts))),
            )

    def _charge(self, number: int, place: int) -> Charge:
        parts = self.timed.runs[number].parts
        lot, racks = parts[place]
        own = self.of_lot[lot]
        whole = len(own) == 1 and racks == self.tiny.lots[lot].racks
        return Charge(
            note_id=f"N{lot}",
            letter="" if whole else "ABC"[own.index((number, place))],
            racks=Racks(racks),
            first_rack=1 + sum(part.racks for part in parts[:place]),
            field_g=Grams(racks * RACK_G),
            prepared_g=Grams(racks * RACK_G),
            preparation=self._preparation(number, place),
            after=self._after(number, place) if self.rules.packing else None,
        )

    def _preparation(self, number: int, place: int) -> Preparation:
        how, cut_end = self._prepared(number, place), self._cut_end(number, place)
        loads = tuple(_load(how.steam + load) for load in range(len(how.minders)))
        done = max((load.chilled for load in loads), default=instant(cut_end))
        return Preparation(
            wash_line_id="W1",
            wash=_span(how.wash, self._racks(number, place)),
            cut=_span(how.cut, cut_end - how.cut),
            tables=tuple(
                TablePlace(f"T{self.tables[(number, place), crew]}", HANDS if crew else GROWER)
                for crew in range(how.tables)
            ),
            steam_loads=loads,
            last_rack=done + LAST_RACK * SLOT,
        )

    def _after(self, number: int, place: int) -> AfterDryer:
        packed, racks = self.timed.chosen[PACK, number, place], self._racks(number, place)
        assert isinstance(packed, Packed)
        return AfterDryer(_span(packed.check, 1), "P1", _span(packed.pack, racks), BAGS * racks)

    def duties(self) -> Iterator[Duty]:
        if not self.rules.hands:
            return
        needs = [(need[3], need[4], need) for need in self._needs()]
        for (start, end, (work, station, subject, *_)), hand in _places(needs, self.tiny.hands):
            yield Duty(f"H{hand}", work, station, subject, _span(start, end - start))
        for number in self.numbers:
            for place, part in enumerate(self.timed.runs[number].parts):
                grower = self.tiny.lots[part.lot].grower
                for minder, start, end in _minding(self._prepared(number, place)):
                    if minder != HAND:
                        code = self._charge(number, place).code
                        yield Duty(grower, "steam", "S1", code, _span(start, end - start))

    def _needs(self) -> Iterator[Need]:
        for number in self.numbers:
            emptied, run = self._emptied(number), self.timed.runs[number]
            dryer, name = f"D{run.dryer}", f"R{number}"
            yield "unload", dryer, name, emptied.unload, emptied.unload + 1
            if emptied.wash_down is not None:
                washed = emptied.wash_down + brute_times.WASH_DOWN
                yield "wash-down", dryer, name, emptied.wash_down, washed
            for place in range(len(run.parts)):
                yield from self._of_charge(number, place)

    def _of_charge(self, number: int, place: int) -> Iterator[Need]:
        how, cut_end = self._prepared(number, place), self._cut_end(number, place)
        code, lot = self._charge(number, place).code, self.timed.runs[number].parts[place].lot
        if self.tiny.lots[lot].grower in self.tiny.alone:
            yield "help", "W1", code, how.wash, how.wash + self._racks(number, place)
            yield "help", f"T{self.tables[(number, place), 0]}", code, how.cut, cut_end
        for crew in range(1, how.tables):
            for _ in range(2):
                yield "cut", f"T{self.tables[(number, place), crew]}", code, how.cut, cut_end
        for minder, start, end in _minding(how):
            if minder == HAND:
                yield "steam", "S1", code, start, end
        if self.rules.packing:
            packed = self.timed.chosen[PACK, number, place]
            assert isinstance(packed, Packed)
            yield "dry check", "", code, packed.check, packed.check + 1


def _span(start: int, slots: int) -> Span:
    return Span(instant(start), instant(start + slots))


def _load(start: int) -> SteamLoad:
    """Twenty minutes of steam, ten of handling, thirty in the tub."""
    into = instant(start)
    steamed, end, chilled = (into + timedelta(minutes=each) for each in (20, 30, 60))
    return SteamLoad("S1", "C1", into, steamed, end, chilled, Grams(RACK_G))


def _minding(how: Prepared) -> Iterator[tuple[str, int, int]]:
    """Who minds the steamer from when to when."""
    slots = enumerate(how.minders, start=how.steam)
    for minder, own in groupby(slots, key=lambda each: each[1]):
        first, *rest = [slot for slot, _ in own]
        yield minder, first, first + len(rest) + 1


def _places(
    uses: list[tuple[int, int, Any]], count: int
) -> Iterator[tuple[tuple[int, int, Any], int]]:
    """A place for each use, in order of start: the one that has been free for longest.

    Where more is used at once than there is (a rule is left out), places are shared.
    """
    free = [0] * count
    for use in sorted(uses, key=lambda each: each[:2]):
        place = free.index(min(free))
        free[place] = use[1]
        yield use, place
