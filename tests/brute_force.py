"""The best that a tiny kitchen can do, by trying everything; shares nothing with the planner.

Every number of racks of every lot, in every split; every run of a dryer at every half-hour mark,
with every set of charges in it; for each charge every crew, every time of washing, cutting and
steaming that the waits allow, a hand or the pair in every half hour of steaming; every time of
unloading, wash-down, dry check and packing.

Nothing is lost by half-hour marks: take any plan, down to the second, and move every instant in it
down to its mark. In each half hour the moved plan looks as the plan did just before that half
hour's end, so nothing is used more, nobody is missed and nothing meets that did not; and whole
half-hours between two instants stay as many (tests/tiny.py has no other figures). Only rule 13
looks at more than moments: its quarter-hour means let draws meet for some minutes. With draw_spared
1 the last half hour of every draw is overlooked; what then draws together drew together for a whole
half hour of the plan, so that no plan is lost. With 0 nothing is overlooked and plans are true.

Not tried, as the kitchen does neither: work that is slower than its rates, and steam loads of a
charge with a pause between them (rule 1).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement, pairwise, product

from scheduler.domain.rules import FULL, RuleBook
from tests.brute_search import Patience, Timed
from tests.brute_times import TURN_ROUND, Part, Run, Ways
from tests.tiny import Lot, Tiny

Placed = tuple[Part, int, int]  # a charge, the dryer and the start of its run


def best(
    tiny: Tiny, rules: RuleBook = FULL, *, draw_spared: int = 0, steps: int = 10**6
) -> tuple[int, Timed | None]:
    """The most racks that can be placed, and how; TooMany where more must be tried than steps."""
    splits = [_splits(lot, max(tiny.dryers)) for lot in tiny.lots]
    gathered = _Gathered(Ways(tiny, rules, draw_spared), Patience(steps))
    for split in sorted(product(*splits), key=lambda each: -_racks(each)):
        parts = [Part(lot, racks) for lot, own in enumerate(split) for racks in own]
        for runs in gathered.all(parts) if parts else ():
            timed = Timed(gathered.ways, runs, gathered.patience)
            if timed.found():
                return _racks(split), timed
    return 0, None


def _racks(split: tuple[tuple[int, ...], ...]) -> int:
    return sum(map(sum, split))


def _splits(lot: Lot, most: int) -> list[tuple[int, ...]]:
    """Racks of the charges that a lot may have: none, all in one, or up to three."""
    if not lot.splits or lot.racks < 2:
        return [(), (lot.racks,)] if lot.racks <= most else [()]
    pieces = range(1, min(lot.racks, most) + 1)
    return [
        split
        for charges in range(4)
        for split in combinations_with_replacement(pieces, charges)
        if sum(split) <= lot.racks
    ]


class _Gathered:
    """Charges gathered in runs, as far as racks, groups, hours and dryer time allow."""

    def __init__(self, ways: Ways, patience: Patience) -> None:
        self.ways, self.tiny, self.patience = ways, ways.tiny, patience
        self._preparable: dict[tuple[tuple[int, Part], ...], bool] = {}

    def all(self, parts: list[Part], placed: tuple[Placed, ...] = ()) -> Iterator[list[Run]]:
        """Every way to gather these charges beside those that have their place."""
        if not parts:
            yield self._runs(placed)
            return
        for dryer in self._unlike_dryers(placed):
            for start in self._starts(parts[0], placed):
                more = (*placed, (parts[0], dryer, start))
                if self._possible(self._runs(more)):
                    yield from self.all(parts[1:], more)

    def _unlike_dryers(self, placed: tuple[Placed, ...]) -> Iterator[int]:
        """Of empty dryers of one size only the first: what is tried there holds for the others."""
        taken, empty = {dryer for _, dryer, _ in placed}, set[int]()
        for dryer, racks in enumerate(self.tiny.dryers):
            if dryer in taken or racks not in empty:
                yield dryer
            if dryer not in taken:
                empty.add(racks)

    def _starts(self, part: Part, placed: tuple[Placed, ...]) -> Iterator[int]:
        """Of charges that are alike the one that is placed first starts first."""
        soonest = max((start for each, _, start in placed if each == part), default=0)
        for start in self.ways.starts(self.tiny.lots[part.lot]):
            if start >= soonest and self.ways.prepared(part, start):
                yield start

    def _runs(self, placed: tuple[Placed, ...]) -> list[Run]:
        inside: dict[tuple[int, int], list[Part]] = {}
        for part, dryer, start in placed:
            inside.setdefault((dryer, start), []).append(part)
        lots = self.tiny.lots
        return [
            Run(dryer, start, max(lots[part.lot].drying for part in parts), tuple(parts))
            for (dryer, start), parts in sorted(inside.items())
        ]

    def _possible(self, runs: list[Run]) -> bool:
        """Nothing here gets better by more charges, so what is not possible never will be."""
        return (
            all(self._fits(run) for run in runs)
            and all(self._apart(one, other) for one, other in pairwise(runs))
            and self._prepares(runs)
        )

    def _fits(self, run: Run) -> bool:
        """Rules 5, 6 and 14."""
        lots = [part.lot for part in run.parts]
        groups = {self.tiny.lots[lot].group for lot in lots}
        if len(groups) > 1 or len(set(lots)) < len(lots):
            return False
        return sum(part.racks for part in run.parts) <= self.tiny.dryers[run.dryer]

    def _apart(self, one: Run, other: Run) -> bool:
        """Rule 8 at its mildest: released as soon as it ends, and nothing to wash down."""
        if one.dryer != other.dryer:
            return True
        return self.ways.count(one.start + one.drying, other.start) >= TURN_ROUND

    def _prepares(self, runs: list[Run]) -> bool:
        """Whether there is time for all of it before the starts; dryers make no difference."""
        key = tuple(sorted((run.start, part) for run in runs for part in run.parts))
        if key not in self._preparable:
            self._preparable[key] = Timed(self.ways, runs, self.patience).prepares()
        return self._preparable[key]
