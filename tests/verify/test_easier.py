"""The easier rules: exactly those are verified, each found by a twin, and nothing else is asked."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.plan import Plan, Proof
from scheduler.domain.rules import SIMPLE
from scheduler.units import Grams, Racks
from scheduler.verify import verify
from tests.builders import at, minutes
from tests.verify.changes import (
    with_card,
    with_charge,
    with_grower,
    with_kitchen,
    with_limits,
    with_note,
    with_run,
    with_station,
)
from tests.verify.easier_week import CARROT, MUSHROOM, ONION, PEPPER, TOMATO_B, easier_plan
from tests.verify.good_notes import good_asked
from tests.verify.twin import Change


def moved(plan: Plan, run_id: str, start: str, end: str, released: str) -> Plan:
    return with_run(plan, run_id, start=at(start), end=at(end), released=at(released))


def in_four_parts(plan: Plan) -> Plan:
    """The tomato lot in quarters: two more of them on racks that are free."""
    quarter = {"field_g": Grams(15_000), "prepared_g": Grams(14_100), "racks": Racks(5)}
    plan = with_charge(with_charge(plan, "N2 A", **quarter), "N2 B", **quarter)
    runs = {run.id: run for run in plan.runs}
    part = runs[TOMATO_B.id].charges[0]
    more = [
        (CARROT.id, replace(part, letter="C", first_rack=10)),
        (PEPPER.id, replace(part, letter="D", first_rack=8)),
    ]
    for run_id, charge in more:
        plan = with_run(plan, run_id, charges=(*runs[run_id].charges, charge))
    plan = moved(plan, CARROT.id, "Wed 12:15", "Thu 03:15", "Thu 07:00")
    plan = with_run(plan, CARROT.id, set_point_c=57.0)
    return moved(plan, PEPPER.id, "Fri 11:40", "Sat 02:40", "Sat 07:00")


TWINS: dict[str, tuple[int, Change]] = {
    "a start off the grid": (
        1,
        lambda a, p: (a, moved(p, CARROT.id, "Wed 12:16", "Wed 23:16", "Thu 07:00")),
    ),
    "a start after closing time": (
        2,
        lambda a, p: (a, moved(p, PEPPER.id, "Fri 19:05", "Sat 07:05", "Sat 07:05")),
    ),
    "cool hold too long": (
        3,
        lambda a, p: (a, moved(p, TOMATO_B.id, "Tue 07:55", "Tue 22:55", "Wed 07:00")),
    ),
    "released before the kitchen opens": (
        3,
        lambda a, p: (a, with_run(p, PEPPER.id, released=at("Sat 06:00"))),
    ),
    "held over night though it ends at closing time": (
        3,
        lambda a, p: (a, with_run(p, MUSHROOM.id, released=at("Fri 07:00"))),
    ),
    "starts before the lot can be ready": (
        4,
        lambda a, p: (a, moved(p, ONION.id, "Mon 08:00", "Mon 18:00", "Mon 18:00")),
    ),
    "starts before the lot can be steamed": (
        4,
        lambda a, p: (with_note(a, "N4", arrives=at("Tue 10:31")), p),
    ),
    "starts after its latest start": (
        4,
        lambda a, p: (with_note(a, "N5", latest_start=at("Wed 12:10")), p),
    ),
    "a rack too many": (5, lambda a, p: (a, with_charge(p, "N6", racks=Racks(8)))),
    "more racks than the dryer has": (
        5,
        lambda a, p: (with_station(a, "dryers", "D1", racks=Racks(11)), p),
    ),
    "a set point within the tolerance but not the card's": (
        6,
        lambda a, p: (a, with_run(p, PEPPER.id, set_point_c=58.0)),
    ),
    "an hour too short": (
        6,
        lambda a, p: (a, moved(p, MUSHROOM.id, "Thu 11:00", "Thu 18:00", "Thu 18:00")),
    ),
    "a minute short of the turn-round": (
        8,
        lambda a, p: (with_station(a, "dryers", "D1", turn_round_s=minutes(116)), p),
    ),
    "parts of unequal weight": (
        14,
        lambda a, p: (
            a,
            with_charge(
                with_charge(p, "N2 A", prepared_g=Grams(28_201)), "N2 B", prepared_g=Grams(28_199)
            ),
        ),
    ),
    "parts without letters": (14, lambda a, p: (a, with_charge(p, "N2 B", letter="C"))),
    "worth more than it places": (
        0,
        lambda a, p: (a, replace(p, proof=Proof(Grams(164_281), Grams(170_000), Grams(0)))),
    ),
}


def test_the_easier_week_holds():
    assert verify(good_asked(), easier_plan(), SIMPLE) == ()


@pytest.mark.parametrize(("rule", "change"), TWINS.values(), ids=TWINS)
def test_a_twin_is_found_by_its_rule_alone(rule: int, change: Change):
    faults = verify(*change(good_asked(), easier_plan()), SIMPLE)
    assert {fault.rule for fault in faults} == {rule}, faults


def test_all_parts_or_none():
    plan = replace(easier_plan(), proof=None)
    plan = replace(plan, runs=tuple(run for run in plan.runs if run.id != TOMATO_B.id))
    assert [fault.rule for fault in verify(good_asked(), plan, SIMPLE)] == [14]


def test_an_odd_gram_may_lie_in_either_part():
    asked = with_note(good_asked(), "N2", field_g=Grams(60_001), arrives=at("Mon 07:55"))
    plan = replace(easier_plan(), waiting=(), proof=None)
    for code in ("N2 A", "N2 B"):
        assert verify(asked, with_charge(plan, code, field_g=Grams(30_001)), SIMPLE) == ()


def test_three_parts_may_be():
    asked = with_card(with_card(good_asked(), "carrot", set_point_c=57.0), "pepper", group="mild")
    asked = with_note(asked, "N2", latest_start=at("Sat 00:00"))
    plan = in_four_parts(easier_plan())
    for code in ("N2 A", "N2 B", "N2 C"):
        plan = with_charge(
            plan, code, field_g=Grams(20_000), prepared_g=Grams(18_800), racks=Racks(7)
        )
    pepper = next(run for run in plan.runs if run.id == PEPPER.id)
    plan = with_run(plan, PEPPER.id, charges=pepper.charges[:1], end=at("Fri 23:40"))
    assert verify(asked, plan, SIMPLE) == ()


def test_three_parts_are_the_most():
    asked = with_card(with_card(good_asked(), "carrot", set_point_c=57.0), "pepper", group="mild")
    asked = with_note(asked, "N2", latest_start=at("Sat 00:00"))
    faults = verify(asked, in_four_parts(easier_plan()), SIMPLE)
    assert [fault.message for fault in faults] == ["N2 A is one of 4 parts; 3 are the most"]


def test_a_small_lot_may_be_split_against_card_and_note():
    asked = with_card(good_asked(), "tomato", split_from_racks=Racks(99), least_racks=Racks(99))
    assert verify(with_note(asked, "N2", may_split=False), easier_plan(), SIMPLE) == ()


def test_nothing_else_is_asked():
    """No power, no hands, no cold store, no growers, no stations: the easier rules do not mind."""
    asked = with_limits(good_asked(), supply_watts=1, unloaded_within_s=0)
    store = replace(asked.kitchen.cold_store, crates=0)
    asked = with_kitchen(asked, hands=(), tables=(), steamers=(), wash_lines=(), cold_store=store)
    asked = with_station(asked, "dryers", "D1", wash_down_s=999_999)
    for grower in asked.growers:
        asked = with_grower(asked, grower.id, people=1)
    assert verify(asked, easier_plan(), SIMPLE) == ()
