"""Which of several like stations each charge uses: wash lines, tables, steamers, benches, none
when down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from scheduler.errors import BrokenPromise
from scheduler.problem import Draft, DraftCharge, Key, Problem

Place = tuple[int, int, Key, int]  # lot, start of the cut, run, which of its tables or steamers
InRun = tuple[Key, DraftCharge]


def can_be_placed(problem: Problem, draft: Draft) -> bool:
    """Whether like stations suffice. They do where all are alike at all times; not always where
    some are down, or have their times with firm charges."""
    if not problem.down and not problem.firm.taken:
        return True
    try:
        Places(problem, [(run.key, charge) for run in draft.runs for charge in run.charges])
    except BrokenPromise:
        return False
    return True


@dataclass(frozen=True, slots=True, order=True)
class _Stay:
    start: int
    end: int
    place: Place


class Places:
    """The stations that the charges of one draft are given; firm ones have theirs.

    Charges are told apart by their runs, too: without rule 12 a pair may prepare two of one lot in
    the same way at the same time.
    """

    def __init__(self, problem: Problem, charges: list[InRun]) -> None:
        rules = problem.rules
        charges = [each for each in charges if each[1].lot not in problem.firm.lots]
        self._washes = _given(
            problem,
            problem.wash_line_ids,
            (_stay(each, each[1].wash, each[1].recipe.wash) for each in charges),
            strict=rules.tables,
        )
        self._benches = _given(
            problem,
            problem.bench_ids,
            (_stay(each, each[1].pack, each[1].recipe.pack) for each in charges),
            strict=rules.packing,
        )
        self._tables: dict[Place, str] = {}
        for kind, alike in enumerate(problem.table_kinds):
            stays = _at_tables(problem, charges, kind)
            self._tables |= _given(problem, alike.ids, stays, strict=rules.tables)
        self._kinds = problem.steamer_kinds
        self._steamers: dict[Place, str] = {}
        for kind, like in enumerate(self._kinds if rules.steamers else ()):
            self._steamers |= _given(problem, like.ids, _on_steamers(charges, kind), strict=True)

    def wash_line(self, each: InRun) -> str:
        return self._washes.get(_place(each), "")

    def bench(self, each: InRun) -> str:
        return self._benches.get(_place(each), "")

    def tables(self, each: InRun) -> tuple[str, ...]:
        places = range(len(each[1].recipe.tables))
        return tuple(self._tables[_place(each, place)] for place in places)

    def steamers(self, each: InRun) -> tuple[str, ...]:
        """The first of each kind where steamers have no number, but two for who steams on two."""
        kinds = each[1].recipe.steamers
        return tuple(
            self._steamers.get(
                _place(each, which), self._kinds[kind].ids[kinds[:which].count(kind)]
            )
            for which, kind in enumerate(kinds)
        )


def _place(each: InRun, which: int = 0) -> Place:
    run, charge = each
    return charge.lot, charge.cut, run, which


def _stay(each: InRun, start: int, length: int, which: int = 0) -> _Stay:
    return _Stay(start, start + length, _place(each, which))


def _at_tables(problem: Problem, charges: list[InRun], kind: int) -> Iterator[_Stay]:
    """Stays at tables of a kind, change-over included."""
    for run, charge in charges:
        length = charge.recipe.cut + problem.lots[charge.lot].change_over
        for which, its_kind in enumerate(charge.recipe.tables):
            if its_kind == kind:
                yield _stay((run, charge), charge.cut, length, which)


def _on_steamers(charges: list[InRun], kind: int) -> Iterator[_Stay]:
    for each in charges:
        charge = each[1]
        for which, its_kind in enumerate(charge.recipe.steamers):
            if its_kind == kind:
                yield _stay(each, charge.steam, charge.recipe.steam, which)


def _given(
    problem: Problem, ids: tuple[str, ...], stays: Iterable[_Stay], *, strict: bool
) -> dict[Place, str]:
    """A station for every stay; where strict none is used twice at once, else BrokenPromise."""
    wanted = tuple(sorted(stays))
    if not ids:
        return {}
    taken, down = problem.firm.taken, problem.down
    no_use = tuple(down.get(each, 0) | taken.get(each, 0) for each in ids)
    shared = _Shared(wanted, no_use, strict)
    chosen = shared.chosen((0,) * len(ids))
    if chosen is None:
        raise BrokenPromise(f"more charges at once than places: {', '.join(ids)}")
    return {stay.place: ids[index] for stay, index in zip(wanted, chosen, strict=True)}


@dataclass(frozen=True, slots=True)
class _Shared:
    """Stays in order of start on like stations; looks ahead, because a station may go down."""

    stays: tuple[_Stay, ...]
    down: tuple[int, ...]
    strict: bool
    hopeless: set[tuple[int, ...]] = field(default_factory=set)

    def chosen(self, free_from: tuple[int, ...], at: int = 0) -> tuple[int, ...] | None:
        """Stations for the stays from one on, each free from then on; None if there are none."""
        if at == len(self.stays):
            return ()
        state = (at, *(max(self.stays[at].start, each) for each in free_from))
        if state in self.hopeless:
            return None
        for index in self._fitting(free_from, at):
            then = tuple(
                self.stays[at].end if each == index else free for each, free in enumerate(free_from)
            )
            rest = self.chosen(then, at + 1)
            if rest is not None:
                return (index, *rest)
        self.hopeless.add(state)
        return None

    def _fitting(self, free_from: tuple[int, ...], at: int) -> list[int]:
        """Stations free for a stay, the one used last first."""
        stay = self.stays[at]
        during = ((1 << (stay.end - stay.start)) - 1) << stay.start
        fits = [
            index
            for index, free in enumerate(free_from)
            if free <= stay.start and not self.down[index] & during
        ]
        return sorted(fits, key=lambda index: -free_from[index]) or ([] if self.strict else [0])
