"""The lot trail: from any code back to the field and forward to the bags, nothing left out."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.season.codes import Code
from scheduler.season.trails import LotTrail, Trails
from tests.season.small import season


@settings(max_examples=8, deadline=None)
@given(st.integers(1, 40))
def test_every_bag_leads_back_to_its_field_and_forward_to_who_has_it(seed: int):
    found = season(seed)
    trails = Trails(found)
    for week in found.weeks:
        for lot in week.lots:
            for bag in range(1, (lot.bags or 0) + 1):
                trail = trails.of(str(Code(lot.code, bag=bag)))
                assert trail.lot == lot
                assert (
                    trail.steps[0].sent
                    == week.asked.grower(week.asked.note(lot.note_id).grower_id).farm
                )
                assert trail.steps[-1].event == "shipping"
                break


def events(trail: LotTrail) -> list[str]:
    return [each.event for each in trail.steps]


@settings(max_examples=8, deadline=None)
@given(st.integers(1, 40))
def test_all_weight_and_all_runs_of_a_lot_stand_in_it(seed: int):
    found = season(seed)
    trails = Trails(found)
    for week in found.weeks:
        for lot in week.lots:
            trail = trails.of(lot.code)
            own = [c for _, c in week.charges() if c.note_id == lot.note_id]
            starts = [each for each in trail.steps if each.event == "run start"]
            assert sum(int(each.quantity * 1000) for each in starts if each.quantity) == sum(
                each.prepared_g for each in own
            )
            loads = sum(len(c.preparation.steam_loads) for c in own if c.preparation)
            assert events(trail).count("steam load") == loads
            assert events(trail).count("dry check") == len(lot.checks)
            assert trail.steps[0].quantity == Decimal(lot.weighed_g) / 1000
            assert list(trail.steps) == sorted(trail.steps, key=lambda each: each.at)


def test_a_rack_tells_of_its_own_charge_alone():
    found = season(4)
    week, lot, split = next(
        (week, lot, [c for _, c in week.charges() if c.note_id == lot.note_id])
        for week in found.weeks
        for lot in week.lots
        if sum(c.note_id == lot.note_id for _, c in week.charges()) > 1
    )
    assert len(split) > 1
    first = split[0]
    code = Code(lot.code, first.letter, rack=first.first_rack)
    trail = Trails(found).of(str(code))
    assert events(trail).count("run start") == 1
    assert events(Trails(found).of(lot.code)).count("run start") == len(split)
    assert week is trail.week


def test_bags_went_when_they_went_and_nobody_says_which():
    found = season(1)
    lot = next(lot for week in found.weeks for lot in week.lots if lot.bags)
    (shipping,) = (each for each in Trails(found).of(lot.code).steps if each.event == "shipping")
    assert [shipping.at] == [each.at for each in lot.went_to]
    assert shipping.at != lot.packed
    assert shipping.document == ("lot card", lot.code)


def test_a_bag_a_rack_or_a_part_that_is_not_there():
    found = season(1)
    lot = next(lot for week in found.weeks for lot in week.lots if lot.bags)
    for code in (
        Code(lot.code, bag=1 + (lot.bags or 0)),
        Code(lot.code, rack=99),
        Code(lot.code, "C"),
    ):
        with pytest.raises(LookupError, match="has no"):
            Trails(found).of(str(code))


def test_a_code_that_nobody_gave():
    with pytest.raises(LookupError, match="no lot 26-001-G99-XXX"):
        Trails(season(1)).of("26-001-G99-XXX")
