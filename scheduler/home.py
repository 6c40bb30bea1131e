"""Where growers' turns are in the plan in hand, and what it counts to move them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

DAY = 288  # ticks
FELL_G = 1_000_000_000  # for any worth below the least wanted: more than all turns together


@dataclass(frozen=True, slots=True)
class Turn:
    """When a turn begins, and the grams that moving it by a day or more counts. flat: beside them,
    grams that any move counts, however small."""

    at: int
    weight: int
    flat: int = 0

    @property
    def whole(self) -> int:
        return self.weight + self.flat


class Begins(NamedTuple):
    """When turns begin in a draft, by lot, in order of start of their runs. returning: where a
    charge is cut on a later day than it is washed."""

    bringing: dict[int, list[int]]
    packing: dict[int, list[int]]
    returning: dict[int, list[int]]


@dataclass(frozen=True)
class Home:
    """bringing, packing, returning: by lot, its charges' turns as in Begins. floor: the worth that
    no plan may fall below."""

    bringing: Mapping[int, Sequence[Turn]] = field(default_factory=dict)
    packing: Mapping[int, Sequence[Turn]] = field(default_factory=dict)
    returning: Mapping[int, Sequence[Turn]] = field(default_factory=dict)
    floor: int = 0

    def moved_g(self, now: Begins) -> int:
        """What the moves of all turns count, these being when they are now."""
        homes = (self.bringing, self.packing, self.returning)
        return sum(_moved(home, begins) for home, begins in zip(homes, now, strict=True))

    def flat_g(self, lot: int, now: Sequence[int]) -> int:
        """Of what the moves of a lot's bringing turns count, the grams that any move counts."""
        turns = self.bringing.get(lot, ())
        places = paired([turn.at for turn in turns], now)
        return sum(
            turn.flat
            for turn, place in zip(turns, places, strict=True)
            if place is None or now[place] != turn.at
        )

    def short_g(self, worth: int) -> int:
        """What it counts that the least worth wanted is not reached; the more, the further off."""
        return 0 if worth >= self.floor else FELL_G + self.floor - worth


def _moved(home: Mapping[int, Sequence[Turn]], now: Mapping[int, Sequence[int]]) -> int:
    return sum(_of_lot(turns, now.get(lot, ())) for lot, turns in home.items())


def _of_lot(turns: Sequence[Turn], now: Sequence[int]) -> int:
    """A turn that falls away counts in full, a small shift half, a new one beside them half."""
    moves = 0
    for turn, place in zip(turns, paired([turn.at for turn in turns], now), strict=True):
        away = None if place is None else abs(now[place] - turn.at)
        moves += turn.whole if away is None else shift_g(turn.weight, away) + turn.flat * (away > 0)
    least = min((each.weight for each in turns), default=0)
    return moves + max(0, len(now) - len(turns)) * least // 2


def paired(was: Sequence[Any], now: Sequence[Any]) -> list[int | None]:
    """For each of the times that were, the place of the one that it is now: of the same, else the
    next that is left in order; None where none is left."""
    if len(was) == len(now) == 1:
        return [0]
    free, found = list(range(len(now))), list[int | None]()
    for at in was:
        same = next((each for each in free if now[each] == at), None)
        free = [each for each in free if each != same]
        found.append(same)
    rest = iter(free)
    return [next(rest, None) if each is None else each for each in found]


def as_it_was(turns: Iterable[Turn], mask: int, otherwise: Callable[[int], int]) -> int:
    """The tick of a mask at which one of the turns was; where none may stay, as picked."""
    stays = (turn.at for turn in turns if turn.at >= 0 and mask >> turn.at & 1)
    at = next(stays, None)
    return otherwise(mask) if at is None else at


def shift_g(weight: int, ticks: int) -> int:
    """Half of its weight for any move, the other half by how far, up to a day."""
    return 0 if ticks == 0 else weight * (DAY + min(ticks, DAY)) // (2 * DAY)
