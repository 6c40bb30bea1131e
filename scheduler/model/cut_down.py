"""A window cut down to what the solver can take at once: where there is too much to choose from, it
hardly comes further than the draft that it begins from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from random import Random

from scheduler.model.relaxed import Wish
from scheduler.problem import Lot

MOST = 1000  # choices of a window at first (from trials on weeks of 60 lots and 8 dryers)

Sizes = dict[int, list[int]]  # of charges, by lot


def cut_down(
    lots: list[Lot], sizes: Sizes, there: Iterable[Wish], most: int, random: Random
) -> tuple[list[Lot], Sizes]:
    """Lots and the sizes of their charges, with no more choices than so many, unless what is there
    now alone has more.

    No lot has more charges than are there, or one. What is there keeps its sizes; where there is
    room, its lots have others as well, and then other lots come in, by chance. A lot in equal parts
    is all there or not, whatever its sizes.
    """
    if sum(choices(lot, sizes[lot.index]) for lot in lots) <= most:
        return lots, sizes
    own: dict[int, list[int]] = defaultdict(list)
    for wish in there:
        own[wish.lot].append(wish.racks)
    few = [replace(lot, most_charges=_most(lot, own.get(lot.index, ()))) for lot in lots]
    least = {lot.index: sorted(set(own.get(lot.index, ()))) for lot in lots}
    total = sum(choices(lot, least[lot.index]) for lot in few)
    for lot in sorted(few, key=lambda each: (each.index not in own, random.random())):
        more = choices(lot, sizes[lot.index]) - choices(lot, least[lot.index])
        if total + more <= most:
            least[lot.index] = sizes[lot.index]
            total += more
    kept = [lot for lot in few if least[lot.index]]
    return kept, {lot.index: least[lot.index] for lot in kept}


def _most(lot: Lot, there: Sequence[int]) -> int:
    """Charges that it may have."""
    return min(lot.most_charges, max(1, len(there)))


def choices(lot: Lot, sizes: Iterable[int]) -> int:
    """Sizes and ways to prepare them, of all charges that it may have."""
    return lot.most_charges * sum(len(lot.sizes.get(size, ())) for size in sizes)
