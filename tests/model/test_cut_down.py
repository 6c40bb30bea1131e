"""Windows cut down: nothing where they are small, what is there always, others by chance."""

from collections.abc import Sequence
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.rules import FULL
from scheduler.model.cut_down import cut_down
from scheduler.model.relaxed import Wish
from scheduler.prepare import problem
from scheduler.problem import Lot
from scheduler.scenario import load
from tests.strategies import kitchens

SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck))


def choices(lots: Sequence[Lot], sizes: dict[int, list[int]]) -> int:
    """Counted one by one: each charge that may be, each size, each way."""
    return sum(
        1
        for lot in lots
        for _ in range(lot.most_charges)
        for size in sizes[lot.index]
        for _ in lot.sizes[size]
    )


@settings(SLOW, max_examples=30)
@given(kitchens(), st.data())
def test_what_is_there_stays_and_no_more_than_there_may_be(
    asked: Asked, data: st.DataObject
) -> None:
    lots = [lot for lot in problem(asked, FULL).lots if lot.sizes]
    sizes = {
        lot.index: sorted(data.draw(st.sets(st.sampled_from(sorted(lot.sizes)), min_size=1)))
        for lot in lots
    }
    there = [
        Wish(lot.index, lot.dryers, data.draw(st.sampled_from(sizes[lot.index])))
        for lot in lots
        for _ in range(data.draw(st.integers(0, min(2, lot.most_charges))))
    ]
    most = data.draw(st.integers(0, 200))
    few, fewer = cut_down(lots, dict(sizes), there, most, Random(1))
    assert [lot.index for lot in few] == sorted(fewer)
    by_index = {lot.index: lot for lot in few}
    for lot in few:
        assert lot.most_charges <= lots[[each.index for each in lots].index(lot.index)].most_charges
        assert set(fewer[lot.index]) <= set(sizes[lot.index])
    for index in {wish.lot for wish in there}:
        own = [wish.racks for wish in there if wish.lot == index]
        assert by_index[index].most_charges >= len(own)
        assert set(own) <= set(fewer[index])
    least = choices(*cut_down(lots, dict(sizes), there, 0, Random(1)))
    assert choices(few, fewer) <= max(most, least)


@settings(SLOW, max_examples=15)
@given(kitchens())
def test_a_small_window_is_left_as_it_is(asked: Asked) -> None:
    lots = [lot for lot in problem(asked, FULL).lots if lot.sizes]
    sizes = {lot.index: sorted(lot.sizes) for lot in lots}
    most = choices(lots, sizes)
    assert cut_down(lots, sizes, [], most, Random(1)) == (lots, sizes)
    if most:
        fewer = cut_down(lots, sizes, [], most - 1, Random(1))
        assert choices(*fewer) < most


def test_others_are_left_out_by_chance() -> None:
    lots = [lot for lot in problem(load("glut"), FULL).lots if lot.sizes]
    sizes = {lot.index: [max(lot.sizes)] for lot in lots}
    inside = {tuple(cut_down(lots, sizes, [], 20, Random(seed))[1]) for seed in range(5)}
    assert len(inside) > 1
    assert all(0 < len(each) < len(lots) for each in inside)


def test_where_there_is_room_what_is_there_has_other_sizes_too() -> None:
    lots = [lot for lot in problem(load("glut"), FULL).lots if lot.sizes][:4]
    sizes = {lot.index: sorted(lot.sizes) for lot in lots}
    there = [Wish(lot.index, lot.dryers, min(lot.sizes)) for lot in lots]
    once = sum(len(ways) for lot in lots for ways in lot.sizes.values())
    few, fewer = cut_down(lots, sizes, there, once, Random(1))
    assert fewer == sizes
    assert [lot.most_charges for lot in few] == [1] * len(lots)
