"""Rows of ticks as whole numbers: where something is free for so long, and how much of something
is in use."""

from __future__ import annotations

from collections.abc import Iterator


def block(start: int, length: int) -> int:
    """The ticks from start, so many of them."""
    return ((1 << length) - 1) << start if length > 0 else 0


def span(first: int, last: int) -> int:
    """The ticks from first to last, both of them; none before 0."""
    first = max(0, first)
    return block(first, last + 1 - first)


def lasting(free: int, length: int) -> int:
    """Starts from which so many ticks in a row are free."""
    done = 1
    while 2 * done < length:
        free &= free >> done
        done *= 2
    return free & (free >> length - done) if done < length else free


def reached(starts: int, least: int, most: int) -> int:
    """Ticks that lie least to most after one of the starts."""
    spread, done = starts << least, 1
    width = most - least + 1
    while 2 * done < width:
        spread |= spread << done
        done *= 2
    return spread | (spread << width - done) if done < width else spread


def first(mask: int) -> int:
    """The first tick of a mask that has one."""
    return (mask & -mask).bit_length() - 1


def last(mask: int) -> int:
    """The last tick of a mask that has one."""
    return mask.bit_length() - 1


def nth(mask: int, place: int) -> int:
    """The tick at a place (from 0) in the order of a mask's ticks."""
    for _ in range(place):
        mask &= mask - 1
    return first(mask)


def ticks(mask: int) -> Iterator[int]:
    """The ticks of a mask, in order."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


class Profile:
    """How much of something is in use, tick by tick: amount -> the ticks that use just so much."""

    __slots__ = ("_asked", "levels")

    def __init__(self, everywhere: int, levels: dict[int, int] | None = None) -> None:
        self.levels = {0: everywhere} if levels is None else levels
        self._asked: dict[int, int] = {}

    def copy(self) -> Profile:
        twin = Profile(0, dict(self.levels))
        twin._asked = self._asked  # shared until one of them changes
        return twin

    def add(self, where: int, amount: int) -> None:
        """So much more then, or less (below 0)."""
        if not amount or not where:
            return
        self._asked = {}
        raised: dict[int, int] = {}
        for used, ticks_ in list(self.levels.items()):
            part = ticks_ & where
            if part == ticks_:
                del self.levels[used]
            elif part:
                self.levels[used] = ticks_ ^ part
            if part:
                raised[used + amount] = part
        for used, ticks_ in raised.items():
            self.levels[used] = self.levels.get(used, 0) | ticks_

    def at_most(self, amount: int) -> int:
        """The ticks that use no more than that."""
        known = self._asked.get(amount)
        if known is None:
            known = 0
            for used, ticks_ in self.levels.items():
                if used <= amount:
                    known |= ticks_
            self._asked[amount] = known
        return known
