"""Reasons and remedies of the waiting list, on weeks in which both are known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Hand
from scheduler.domain.rules import SIMPLE
from scheduler.expand import expanded
from scheduler.explain import Patience
from scheduler.problem import Draft
from scheduler.verify import verify
from tests.builders import GROUPS, at, dryer, weekly
from tests.explain import weeks
from tests.explain.weeks import Laid, places_all, with_kitchen, with_note


def _start_later(asked: Asked) -> Asked:
    return with_note(asked, "N2", latest_start=at("Tue 08:00"))


def _take_hot(asked: Asked) -> Asked:
    first, second = asked.kitchen.dryers
    hot = replace(first, groups=frozenset(group.id for group in GROUPS))
    return with_kitchen(asked, dryers=(hot, second))


def _hand_on_monday(asked: Asked) -> Asked:
    hand = Hand("Kit", "hand", weekly("Mon", "07:00", "19:00"))
    return with_kitchen(asked, hands=(*asked.kitchen.hands, hand))


def _second_table(asked: Asked) -> Asked:
    (table,) = asked.kitchen.tables
    return with_kitchen(asked, tables=(table, replace(table, id="T9")))


def _split(asked: Asked) -> Asked:
    return with_note(asked, "N1", may_split=True)


def _second_dryer(asked: Asked) -> Asked:
    return with_kitchen(asked, dryers=(dryer("D1"), dryer("D9")))


@pytest.mark.parametrize(
    ("made", "rule", "reason", "remedy", "applied"),
    [
        pytest.param(
            weeks.late_latest_start,
            4,
            "No dryer that takes it (Cabinet D1) has enough racks free for long enough until its "
            "latest start, Mon 17 Aug 20:00 (rule 4).",
            "It would fit if its latest start were Tue 18 Aug 08:00 instead of Mon 17 Aug 20:00.",
            _start_later,
            id="late latest start",
        ),
        pytest.param(
            weeks.no_dryer_for_the_group,
            6,
            "No dryer takes the group Hot at 57 °C (rule 6).",
            "It would fit if Cabinet D1 took the group Hot.",
            _take_hot,
            id="no dryer for the group",
        ),
        pytest.param(
            weeks.too_few_hands,
            12,
            "Too few kitchen hands are free for a run of the group Mild that starts between its "
            "arrival, Mon 17 Aug 12:30, and its latest start, Mon 17 Aug 19:00 (rule 12).",
            "It would fit if one more kitchen hand were on shift on Monday, 07:00 to 19:00.",
            _hand_on_monday,
            id="too few hands",
        ),
        pytest.param(
            weeks.one_table,
            11,
            "No table or wash line is free long enough for a run of the group Mild that starts "
            "between its arrival, Mon 17 Aug 07:00, and its latest start, Mon 17 Aug 09:00 "
            "(rule 11).",
            "It would fit if there were one more table like Table 2.",
            _second_table,
            id="one table",
        ),
        pytest.param(
            weeks.too_large_for_one_charge,
            14,
            "It fills 24 racks, may be dried in one charge, and the largest dryer that takes it "
            "has 20 racks (rule 14).",
            "It would fit if it were split into up to 3 charges of at least 6 racks.",
            _split,
            id="may not be split",
        ),
        pytest.param(
            weeks.full_dryer,
            5,
            "No dryer that takes it (Cabinet D1) has enough racks free for long enough until its "
            "latest start, Mon 17 Aug 18:00 (rule 5).",
            "It would fit if there were one more dryer like Cabinet D1.",
            _second_dryer,
            id="full dryer",
        ),
    ],
)
def test_the_reason_and_the_remedy_are_found_and_the_remedy_holds(
    made: Callable[[], Asked],
    rule: int,
    reason: str,
    remedy: str,
    applied: Callable[[Asked], Asked],
):
    asked = made()
    assert not places_all(asked)
    waiting = Laid.out(asked).only_waiting()
    assert (waiting.rule, waiting.reason, waiting.remedy) == (rule, reason, remedy)
    assert waiting.proved
    assert places_all(applied(asked))


def test_the_smallest_amount_that_works_is_told():
    six_hours_later = with_note(weeks.late_latest_start(), "N2", latest_start=at("Tue 02:00"))
    assert not places_all(six_hours_later)


def test_where_nothing_helps_this_is_said_plainly():
    waiting = Laid.out(weeks.too_late_in_the_week()).only_waiting()
    assert waiting.rule == 3
    assert waiting.reason == (
        "No run of 15 h that starts between its arrival, Sat 22 Aug 11:00, and its latest start, "
        "Sat 22 Aug 13:00, ends at a time when it can be taken out (rule 3)."
    )
    assert waiting.remedy == "None of the changes we try would place it."
    assert not waiting.proved


@pytest.mark.parametrize(
    ("made", "rule", "begins"),
    [
        (weeks.short_supply, 13, "Too little of the power supply is left for a run"),
        (weeks.long_wash_down, 8, "No dryer is washed down in time for a run of the group Hot"),
    ],
)
def test_the_rule_is_the_one_that_lets_it_in_when_left_out(
    made: Callable[[], Asked], rule: int, begins: str
):
    waiting = Laid.out(made()).only_waiting()
    assert waiting.rule == rule
    assert waiting.reason.startswith(begins)


def test_two_rules_in_the_way_together_are_both_told():
    waiting = Laid.out(weeks.one_table_and_few_crates()).only_waiting()
    assert waiting.rule == 11
    assert waiting.reason.startswith(
        "No table or wash line is free long enough and the cold store has too few crates left for"
    )
    assert not waiting.proved


def test_the_rest_of_a_note_is_explained():
    laid = Laid.out(weeks.place_for_a_part())
    assert [charge.code for _, charge in laid.plan.charges()] == ["N1 A"]
    waiting = laid.only_waiting()
    assert waiting.remedy.startswith("All of it would fit if its latest start were Tue 18 Aug")
    assert waiting.proved


def test_a_place_that_the_plan_missed_is_owned_up_to():
    asked = weeks.place_for_one_more()
    laid = Laid.out(asked)
    assert not laid.plan.waiting
    only_one = Draft(tuple(run for run in laid.draft.runs if run.charges[0].lot == 0))
    plan = expanded(asked, prepare.problem(asked), only_one)
    waiting = replace(laid, draft=only_one, plan=plan).only_waiting()
    assert waiting.rule is None
    assert waiting.reason.startswith("No rule keeps it out")
    assert waiting.remedy == "It would fit if the week were laid out again with more seconds."


def test_a_change_that_was_not_needed_is_not_told():
    waiting = weeks.in_the_way().only_waiting()
    assert waiting.remedy == "It would fit if the week were laid out again with more seconds."
    assert waiting.proved


def test_nothing_but_the_waiting_list_is_changed():
    laid = Laid.out(weeks.full_dryer())
    plan = laid.explained()
    assert replace(plan, waiting=laid.plan.waiting) == laid.plan
    assert not verify(laid.asked, plan)
    weights = [(each.note_id, each.field_g, each.prepared_g) for each in plan.waiting]
    assert weights == [(each.note_id, each.field_g, each.prepared_g) for each in laid.plan.waiting]


def test_the_same_patience_and_seed_give_the_same_answers():
    laid = Laid.out(weeks.one_table())
    assert laid.explained(Patience(work=5, seed=3)) == laid.explained(Patience(work=5, seed=3))


def _three_waiting() -> Laid:
    asked = weeks.no_dryer_for_the_group()
    (first,) = asked.notes
    return Laid.out(replace(asked, notes=tuple(replace(first, id=f"N{n}") for n in (1, 2, 3))))


def test_the_listener_hears_of_every_note():
    heard: list[str] = []
    _three_waiting().explained(watch=heard.append)
    assert heard == [f"Looking for what would place N{n} ({n} of 3)" for n in (1, 2, 3)]


def test_a_stop_leaves_the_rest_not_asked():
    plan = _three_waiting().explained(watch=lambda message: "N2" in message)
    assert [each.reason == "not asked" for each in plan.waiting] == [False, False, True]
    assert plan.waiting[2] == replace(_three_waiting().plan.waiting[2], reason="not asked")


def test_an_interruption_keeps_what_was_found():
    def interrupted(message: str) -> None:
        if "N2" in message:
            raise KeyboardInterrupt

    plan = _three_waiting().explained(watch=interrupted)
    assert [each.proved for each in plan.waiting] == [True, False, False]


def test_under_the_easier_rules_there_are_reasons_too():
    asked = weeks.full_dryer()
    later = with_note(asked, "N2", latest_start=at("Mon 12:00"))
    waiting = Laid.out(later, SIMPLE).only_waiting()
    assert (waiting.rule, waiting.proved) == (4, True)
    assert "its latest start were Tue 18 Aug" in waiting.remedy
