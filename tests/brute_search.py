"""Times for the runs of a tiny kitchen together: every choice is tried, the tightest step first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tests.brute_times import PAIR, Booking, Emptied, Packed, Prepared, Run, Ways

Step = tuple[str, int, int]  # what, which run, which of its charges
Choice = Prepared | Emptied | Packed
PREPARE, EMPTY, PACK = "prepare", "empty", "pack"


class TooMany(Exception):
    """There was more to try than there was patience."""


@dataclass(slots=True)
class Patience:
    """How many choices may be looked at."""

    steps: int

    def take(self, steps: int) -> None:
        """Look at so many choices."""
        self.steps -= steps
        if self.steps < 0:
            raise TooMany


@dataclass(frozen=True, slots=True)
class Ledger:
    """What is in use against what there is.

    used: of each thing, the slots with one in use, those with two, and so on.
    """

    limits: dict[str, int]
    used: dict[str, tuple[int, ...]]

    def fits(self, bookings: Iterable[Booking]) -> bool:
        """Whether each of them fits by itself: a quick look before all are booked."""
        for what, slots, amount in bookings:
            if slots and what in self.limits:
                left = self.limits[what] - amount
                used = self.used.get(what, ())
                if left < 0 or (left < len(used) and used[left] & slots):
                    return False
        return True

    def booked(self, bookings: Iterable[Booking]) -> Ledger | None:
        """The ledger with all of them; None where that is too much."""
        used = dict(self.used)
        for what, slots, amount in bookings:
            for _ in range(amount if what in self.limits else 0):
                used[what] = _one_more(used.get(what, ()), slots)
                if len(used[what]) > self.limits[what]:
                    return None
        return Ledger(self.limits, used)


def _one_more(used: tuple[int, ...], slots: int) -> tuple[int, ...]:
    levels = []
    for level in used:
        levels.append(level | slots)
        slots &= level
    return (*levels, slots) if slots else tuple(levels)


class Timed:
    """The runs with times for everything, where there are any."""

    def __init__(self, ways: Ways, runs: Sequence[Run], patience: Patience) -> None:
        self.ways, self.runs, self.patience = ways, runs, patience
        self.ledger = Ledger(_limits(ways), {})
        self.chosen: dict[Step, Choice] = {}

    def prepares(self) -> bool:
        """Whether all charges can be prepared, whatever becomes of their runs."""
        return self._take(self._of_charges(PREPARE), whole=False)

    def found(self) -> bool:
        """Whether everything can be done; chosen says when."""
        steps = self._of_charges(PREPARE) + [(EMPTY, n, 0) for n in range(len(self.runs))]
        steps += self._of_charges(PACK) if self.ways.rules.packing else []
        return self._take(steps, whole=True)

    def _of_charges(self, what: str) -> list[Step]:
        return [(what, n, m) for n, run in enumerate(self.runs) for m in range(len(run.parts))]

    def _take(self, steps: list[Step], *, whole: bool) -> bool:
        if not steps:
            return not whole or self._enough_in_the_house()
        step, choices = self._tightest(steps)
        rest, before = [each for each in steps if each != step], self.ledger
        for choice in choices:
            after = before.booked(choice.bookings)
            if after is not None:
                self.ledger, self.chosen[step] = after, choice
                if self._take(rest, whole=whole):
                    return True
        self.ledger = before
        self.chosen.pop(step, None)
        return False

    def _tightest(self, steps: list[Step]) -> tuple[Step, list[Choice]]:
        """Of the steps that can be looked at, the one with the fewest choices left."""
        best: tuple[Step, list[Choice]] | None = None
        for step in steps:
            if step[0] == PACK and (EMPTY, step[1], 0) not in self.chosen:
                continue
            choices = self._choices(step)
            self.patience.take(len(choices))
            fitting = [each for each in choices if self.ledger.fits(each.bookings)]
            if best is None or len(fitting) < len(best[1]):
                best = step, fitting
            if not fitting:
                break
        assert best is not None
        return best

    def _choices(self, step: Step) -> Sequence[Choice]:
        what, number, place = step
        run = self.runs[number]
        if what == PREPARE:
            return self.ways.prepared(run.parts[place], run.start)
        if what == EMPTY:
            later = [
                each for each in self.runs if each.dryer == run.dryer and each.start > run.start
            ]
            then = min(later, key=lambda each: each.start, default=None)
            return list(self.ways.emptied(run, then))
        emptied = self.chosen[EMPTY, number, 0]
        assert isinstance(emptied, Emptied)
        return list(self.ways.packed(run.parts[place], emptied.unload))

    def _enough_in_the_house(self) -> bool:
        """Rule 12: two people in the house while a steamer runs; kitchen hands always are."""
        tiny = self.ways.tiny
        if tiny.hands > 1 or not self.ways.rules.hands:
            return True
        return all(
            tiny.hands + sum(people for people, slots in self._at_work() if slots >> slot & 1) > 1
            for choice in self.chosen.values()
            if isinstance(choice, Prepared)
            for slot in range(choice.steam, choice.steam + len(choice.minders))
        )

    def _at_work(self) -> list[tuple[int, int]]:
        """Growers at work: how many people, and in which slots."""
        tiny, used = self.ways.tiny, self.ledger.used
        return [
            (1 if name in tiny.alone else 2, used[PAIR + name][0])
            for name in tiny.growers()
            if PAIR + name in used
        ]


def _limits(ways: Ways) -> dict[str, int]:
    """How much there is of everything that the rule book counts."""
    tiny, rules = ways.tiny, ways.rules
    limits: dict[str, int] = {}
    if rules.hands:
        limits |= {"hands": tiny.hands, **{PAIR + name: 1 for name in tiny.growers()}}
    if rules.tables:
        limits |= {"tables": tiny.tables, "line": 1}
    if rules.steamers:
        limits |= {"steamer": 1, "tub": 3}
    if rules.power:
        limits["kW"] = tiny.supply // 1000
    if rules.cold_store:
        limits["crates"] = tiny.crates
    if rules.packing:
        limits["bench"] = 1
    return limits
