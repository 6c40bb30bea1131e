"""Every way and time to prepare, empty and pack in a tiny kitchen: the inner half of the brute
force.

A slot is half an hour. What holds in a slot is what holds just before its end, so that work that
ends at a mark and work that begins there never meet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from scheduler.domain.rules import RuleBook
from tests.tiny import DAY, OPENS, Lot, Tiny

WASHED_AFTER = {"strong": {"mild", "sweet", "hot"}, "hot": {"mild", "sweet", "strong"}}
TURN_ROUND, WASH_DOWN = 2, 2
FULL_KW, LATE_KW, STEAM_KW, FULL_DRAW = 6, 3, 4, 4
LAST_RACK, FILLED, CUT_TO_DRYER, CUT_TO_STEAM, STEAM_TO_DRYER = 1, 3, 6, 2, 5
HAND, PAIR = "hand", "pair"


class Booking(NamedTuple):
    """So much of something in every slot of a row of bits."""

    what: str
    slots: int
    amount: int


def booking(what: str, start: int, end: int, amount: int = 1) -> Booking:
    """So much of something from one slot to before another."""
    return Booking(what, (1 << max(start, end)) - (1 << start), amount)


class Part(NamedTuple):
    """A charge, before it has times: so many racks of one lot."""

    lot: int
    racks: int


class Run(NamedTuple):
    """A run, before anything but its start has a time; drying as long as its longest charge."""

    dryer: int
    start: int
    drying: int
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Prepared:
    """How a charge is prepared. minders: slot by slot of its steaming, a hand or the pair."""

    tables: int
    wash: int
    cut: int
    steam: int
    minders: tuple[str, ...]
    bookings: tuple[Booking, ...]


@dataclass(frozen=True, slots=True)
class Emptied:
    """When a run is unloaded, and when its dryer is washed down."""

    unload: int
    wash_down: int | None
    bookings: tuple[Booking, ...]


@dataclass(frozen=True, slots=True)
class Packed:
    """When a charge has its dry check and its packing turn."""

    check: int
    pack: int
    bookings: tuple[Booking, ...]


class Hours:
    """Staffed slots of a tiny kitchen."""

    def __init__(self, tiny: Tiny) -> None:
        self.tiny = tiny

    def staffed(self, slot: int) -> bool:
        return slot < self.tiny.days * DAY and OPENS <= slot % DAY < OPENS + self.tiny.shift

    def within(self, start: int, end: int) -> bool:
        """Whether work lies within one staffed stretch; its end may be closing time."""
        return all(self.staffed(slot) for slot in range(start, end))

    def starts(self, lot: Lot) -> list[int]:
        """When a run with that lot may start; closing time is allowed."""
        slots = range(lot.arrives, lot.latest + 1)
        return [slot for slot in slots if self.staffed(slot) or self.staffed(slot - 1)]

    def count(self, start: int, end: int) -> int:
        """Staffed slots between two marks."""
        return sum(self.staffed(slot) for slot in range(start, end))

    def released(self, end: int) -> int | None:
        """Rule 3: at once, or at an opening that is not too far off."""
        held = range(end, end + self.tiny.cool_hold + 1)
        return next((slot for slot in held if self.staffed(slot)), None)


class Ways(Hours):
    """Every way to do each piece of work by itself.

    draw_spared: slots at its end in which a draw of power is overlooked.
    """

    def __init__(self, tiny: Tiny, rules: RuleBook, draw_spared: int = 0) -> None:
        super().__init__(tiny)
        self.rules, self.draw_spared = rules, draw_spared
        self._prepared: dict[tuple[Part, int], list[Prepared]] = {}

    def prepared(self, part: Part, start: int) -> list[Prepared]:
        """Rules 4, 7, 9, 10 and 12 for one charge of a run that starts then."""
        if (part, start) not in self._prepared:
            self._prepared[part, start] = list(self._prepare(part, start))
        return self._prepared[part, start]

    def _prepare(self, part: Part, start: int) -> Iterator[Prepared]:
        lot = self.tiny.lots[part.lot]
        for tables in self._crews():
            length = part.racks * 2 // tables
            for cut in range(start - length - LAST_RACK, lot.arrives + part.racks - 1, -1):
                if self._at_work(lot, cut, cut + length):
                    yield from self._washed(part, start, (tables, cut))

    def _crews(self) -> tuple[int, ...]:
        enough = self.tiny.tables > 1 or not self.rules.tables
        return (1, 2) if enough and (self.tiny.hands > 1 or not self.rules.hands) else (1,)

    def _at_work(self, lot: Lot, start: int, end: int) -> bool:
        """Whether the grower can come all the while."""
        away = (span for who, *span in self.tiny.away if who == lot.grower and self.rules.hands)
        return self.within(start, end) and all(end <= frm or to <= start for frm, to in away)

    def _washed(self, part: Part, start: int, cutting: tuple[int, int]) -> Iterator[Prepared]:
        (tables, cut), lot = cutting, self.tiny.lots[part.lot]
        helped = int(lot.grower in self.tiny.alone)
        end = cut + part.racks * 2 // tables
        work = [
            booking("tables", cut, end, tables),
            booking(PAIR + lot.grower, cut, end),
            booking("hands", cut, end, 2 * (tables - 1) + helped),
            booking("crates", lot.arrives, cut, part.racks),
        ]
        steamings = list(self._steamed(part, start, (cut, end)))
        washes = range(cut - part.racks, lot.arrives - 1, -1)
        for wash, (steam, minders, steaming) in product(washes, steamings):
            washed = wash + part.racks
            if self._at_work(lot, wash, washed):
                washing = [
                    booking("line", wash, washed),
                    booking(PAIR + lot.grower, wash, washed),
                    booking("hands", wash, washed, helped),
                ]
                bookings = (*washing, *work, *steaming)
                yield Prepared(tables, wash, cut, steam, minders, bookings)

    def _steamed(
        self, part: Part, start: int, cut: tuple[int, int]
    ) -> Iterator[tuple[int, tuple[str, ...], list[Booking]]]:
        """Start of the first load, who minds the steamer, and what is booked for it."""
        if not self.tiny.lots[part.lot].steamed:
            filled = cut[1] + LAST_RACK
            waits = start - cut[0] <= CUT_TO_DRYER and start - filled <= FILLED
            if self.within(cut[0], filled) and (waits or not self.rules.waits):
                yield 0, (), []
            return
        for steam in range(cut[0] + 1, start - part.racks - 1 - LAST_RACK + 1):
            end = steam + part.racks
            if self._in_time(part, start, (*cut, steam)):
                station = [
                    booking("steamer", steam, end),
                    booking("kW", steam, end - self.draw_spared, STEAM_KW),
                    booking("tub", steam + 1, end + 1),
                ]
                for minders, minding in self._minded(part, steam, cut[1]):
                    yield steam, minders, [*station, *minding]

    def _in_time(self, part: Part, start: int, times: tuple[int, int, int]) -> bool:
        """Each basket is cut before it is steamed, and nothing waits too long."""
        cut, cut_end, steam = times
        filled = steam + part.racks + 1 + LAST_RACK
        after = [
            steam + load - (cut + (load + 1) * (cut_end - cut) // part.racks)
            for load in range(part.racks)
        ]
        waits = (
            max(after) <= CUT_TO_STEAM
            and start - filled <= FILLED
            and start - steam <= STEAM_TO_DRYER
        )
        in_order = min(after) >= 0 and filled <= start
        return in_order and self.within(steam, filled) and (waits or not self.rules.waits)

    def _minded(
        self, part: Part, steam: int, cut_end: int
    ) -> Iterator[tuple[tuple[str, ...], list[Booking]]]:
        """A hand in every slot, or the pair once it has cut: every pattern, hands first."""
        lot = self.tiny.lots[part.lot]
        slots = range(steam, steam + part.racks)
        able = lot.grower not in self.tiny.alone and self.rules.hands
        choices = [
            (HAND, PAIR)
            if able and slot >= cut_end and self._at_work(lot, slot, slot + 1)
            else (HAND,)
            for slot in slots
        ]
        for minders in product(*choices):
            names = ("hands" if minder == HAND else PAIR + lot.grower for minder in minders)
            yield (
                minders,
                [booking(name, slot, slot + 1) for name, slot in zip(names, slots, strict=True)],
            )

    def emptied(self, run: Run, then: Run | None) -> Iterator[Emptied]:
        """Rules 3, 8 and 13 for one run and the next one on its dryer."""
        end = run.start + run.drying
        turn = min(end, run.start + FULL_DRAW)
        draw = [
            booking("kW", run.start, end - self.draw_spared, LATE_KW),
            booking("kW", run.start, turn - self.draw_spared, FULL_KW - LATE_KW),
        ]
        released = self.released(end)
        for late in range(self.tiny.unloaded_within) if released is not None else ():
            unload = (released or 0) + late
            if self.within(unload, unload + 1):
                for wash_down in self._washed_down(run, unload, then):
                    work = [booking("hands", unload, unload + 1)]
                    if wash_down is not None:
                        work.append(booking("hands", wash_down, wash_down + WASH_DOWN))
                    yield Emptied(unload, wash_down, (*draw, *work))

    def _washed_down(self, run: Run, unload: int, then: Run | None) -> Iterator[int | None]:
        """Times of the wash-down; None where there is none and need be none."""
        if then is None:
            yield None
            return
        group, after = (self.tiny.lots[each.parts[0].lot].group for each in (run, then))
        staffed = self.count(unload, then.start)
        if not self.rules.wash_downs or after not in WASHED_AFTER.get(group, ()):
            if staffed >= TURN_ROUND:
                yield None
        elif staffed >= TURN_ROUND + WASH_DOWN:
            times = range(unload + 1, then.start - WASH_DOWN + 1)
            yield from (at for at in times if self.within(at, at + WASH_DOWN))

    def packed(self, part: Part, unload: int) -> Iterator[Packed]:
        """Rule 17 for one charge of a run that is unloaded then."""
        lot, emptied = self.tiny.lots[part.lot], unload + 1
        latest = emptied + self.tiny.pack_within - part.racks
        for check in range(emptied + 1, latest):
            if self.within(check, check + 1):
                for pack in range(check + 1, latest + 1):
                    if self._at_work(lot, pack, pack + part.racks):
                        yield _packing(lot, part.racks, check=check, pack=pack)


def _packing(lot: Lot, racks: int, *, check: int, pack: int) -> Packed:
    bookings = (
        booking("hands", check, check + 1),
        booking("bench", pack, pack + racks),
        booking(PAIR + lot.grower, pack, pack + racks),
    )
    return Packed(check, pack, bookings)
