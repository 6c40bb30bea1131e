"""Which racks the dry check samples."""

from __future__ import annotations

from hashlib import sha256

from scheduler.units import ceil_div

LEAST = 3  # demo, from the trade notes: slowest, fastest and one by chance
ENOUGH_FOR_LEAST = 20  # demo: one more for every ten racks over twenty, each ten begun
ONE_MORE_EVERY = 10  # demo


def sample_count(racks: int) -> int:
    """How many racks of a charge are sampled; never more than it has."""
    over = max(0, racks - ENOUGH_FOR_LEAST)
    return min(racks, LEAST + ceil_div(over, ONE_MORE_EVERY))


def sample_racks(first: int, racks: int, *, seed: str) -> tuple[int, ...]:
    """Positions to sample, counted from first: the lowest, the highest, others by chance.

    The lowest stands for the slowest-known, the highest for the fastest, until the kitchen's own
    records say otherwise (demo). The same seed always draws the same racks.
    """
    last = first + racks - 1
    between = sorted(range(first + 1, last), key=lambda rack: _draw(seed, rack))
    by_chance = between[: max(0, sample_count(racks) - 2)]
    return tuple(sorted({first, last, *by_chance}))


def _draw(seed: str, rack: int) -> bytes:
    return sha256(f"{seed}/{rack}".encode()).digest()
