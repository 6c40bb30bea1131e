"""What a grower is told at once: figures worked out by hand, and nothing posted is moved."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from scheduler.answer import Answer, answered
from scheduler.answer.bills import lot_bill
from scheduler.caps import TurnDay
from scheduler.domain.clock import Span
from scheduler.domain.kitchen import VotedCaps
from scheduler.domain.rules import SIMPLE
from scheduler.errors import BadInput, StalePlan
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.verify import verify
from tests.answer.posted import moved, nothing, posted, without
from tests.builders import at, note
from tests.explain.weeks import FULL_DRYER_G, place, week

ZONE = ZoneInfo("America/New_York")
SPRING = load("spring_day")
AUGUST = load("august")


def wed(clock: str, day: int = 22) -> datetime:
    return datetime.fromisoformat(f"2026-04-{day}T{clock}").replace(tzinfo=ZONE)


def alone(note_id: str) -> Answer:
    """The answer in the spring week with nothing posted."""
    empty = replace(SPRING, notes=())
    found = answered(empty, nothing(empty), SPRING.note(note_id))
    assert isinstance(found, Answer)
    return found


@pytest.mark.parametrize(
    ("note_id", "dryer", "racks", "dries", "loads", "bags_and_fees"),
    [
        ("S01", "Herb cabinet", 9, ("09:00", "17:00", 22), 0, (22, 15, 28, 2647)),
        ("S02", "North cabinet dryer", 16, ("10:10", "18:10", 22), 0, (58, 41, 76, 5020)),
        ("S03", "Cart dryer", 28, ("11:20", "17:20", 22), 6, (82, 58, 107, 7937)),
        ("S04", "North cabinet dryer", 15, ("13:00", "01:00", 23), 5, (48, 33, 62, 6590)),
    ],
)
def test_each_note_of_the_spring_day_alone(note_id, dryer, racks, dries, loads, bags_and_fees):
    found, (start, end, day) = alone(note_id), dries
    (charge,) = found.charges
    assert (charge.dryer, charge.racks, charge.letter) == (dryer, racks, "")
    assert (charge.start, charge.end) == (wed(start), wed(end, day))
    assert found.drying_s == SPRING.card(SPRING.note(note_id).card_id).drying_s
    assert (found.racks, found.steam_loads) == (racks, loads)
    bags = found.bags
    assert (bags.likely, bags.fewest, bags.most, found.price.fees) == bags_and_fees
    assert found.rest is None
    assert found.provisional
    assert found.arrive.start == SPRING.note(note_id).arrives


def test_the_price_of_the_beets_line_by_line():
    """15 racks for 12 h from 13:00, half of them by night; 48 bags at 40 an hour, on the grid."""
    price = alone("S04").price
    lines = [(line.what, float(line.quantity), line.amount) for line in price.lines]
    assert lines == [
        ("table hours", 1.25, 1750),
        ("steam loads", 5, 1500),
        ("rack-hours by day", 90, 1350),
        ("rack-hours after 19:00", 90, 990),
        ("bench hours", 1.25, 1000),
    ]
    assert price.packs.amount == 48 * 32
    assert price.own_work == round(1500 * (2 * (25 + 75) + 75) / 60)  # two at work, one packs
    assert price.break_even is not None
    assert price.break_even.without_own_hours == -(-(6590 + 1536) // 48)
    assert price.break_even.with_own_hours == -(-(6590 + 1536 + 6875) // 48)


def test_when_to_come():
    bringing, packing = alone("S04").turns
    assert (bringing.kind, bringing.span) == ("bringing", Span(wed("10:00"), wed("11:40")))
    assert (packing.kind, packing.span) == ("packing", Span(wed("08:25", 23), wed("09:40", 23)))


def test_short_papers_are_a_state_not_an_error():
    short, fine = alone("S01"), alone("S02")
    assert short.papers_short == ("orientation of the helper missing",)
    assert (short.state, short.may_be_firm) == ("papers short", False)
    assert (fine.papers_short, fine.state, fine.may_be_firm) == ((), "pencilled", True)


def test_a_card_without_its_letter_is_short_too():
    cards = tuple(replace(card, approved=False) for card in SPRING.cards)
    empty = replace(SPRING, notes=(), cards=cards)
    found = answered(empty, nothing(empty), SPRING.note("S02"))
    assert isinstance(found, Answer)
    assert found.papers_short == ("process letter pending",)


@pytest.mark.parametrize(
    ("had", "over"), [(8, ()), (9, ("11 turns in April, at most 10 (rule 16).",))]
)
def test_turns_a_month(had: int, over: tuple[str, ...]):
    empty = replace(SPRING, notes=())
    known: list[TurnDay] = [("bringing", date(2026, 4, day)) for day in range(1, had + 1)]
    other_months: list[TurnDay] = [("packing", date(2026, 3, day)) for day in range(1, 30)]
    found = answered(empty, nothing(empty), SPRING.note("S02"), turns_known=[*known, *other_months])
    assert isinstance(found, Answer)
    assert (found.caps.turns, found.caps.most_turns, found.caps.over) == (had + 2, 10, over)
    assert found.may_be_firm == (not over)


def test_a_second_lot_on_the_same_day_is_no_further_turn():
    empty = replace(SPRING, notes=())
    first = answered(empty, nothing(empty), SPRING.note("S02"))
    assert isinstance(first, Answer)
    known = [(turn.kind, turn.span.start.astimezone(ZONE).date()) for turn in first.turns]
    again = answered(empty, nothing(empty), SPRING.note("S02"), turns_known=known)
    assert isinstance(again, Answer)
    assert again.caps.turns == first.caps.turns == 2


def test_the_members_vote_the_caps():
    voted = replace(SPRING.kitchen, caps=VotedCaps(turns_a_month=1, standing_percent=0))
    empty = replace(SPRING, notes=(), kitchen=voted)
    found = answered(empty, nothing(empty), replace(SPRING.note("S02"), standing=True))
    assert isinstance(found, Answer)
    turns, standing = found.caps.over
    assert turns == "2 turns in April, at most 1 (rule 16)."
    assert standing.endswith("of the week's rack-hours, at most 0 % (rule 16).")


def test_the_share_of_standing_lots():
    """19 racks for 15 h in a week of 20 racks x 126 h; a shorter week would be too full."""
    standing = note("N1", "G1", "tomato", 60_000, standing=True)
    roomy = week(place(), standing)
    found = answered(without(roomy, "N1"), nothing(roomy), standing)
    assert isinstance(found, Answer)
    assert found.caps.standing_rack_s == found.racks * 15 * 3600
    assert found.caps.over == ()
    tight = replace(roomy, kitchen=replace(roomy.kitchen, closures=roomy.week.days[2:]))
    found = answered(without(tight, "N1"), nothing(tight), standing)
    assert isinstance(found, Answer)
    assert found.caps.week_rack_s == 20 * 36 * 3600
    (over,) = found.caps.over
    assert over == (
        "Standing lots would have 40 % of the week's rack-hours, at most 35 % (rule 16)."
    )
    assert not found.may_be_firm


def test_every_note_of_august_beside_a_plan_without_it():
    told = []
    for each in AUGUST.notes:
        asked = without(AUGUST, each.id)
        plan = posted(asked)
        found = answered(asked, plan, each)
        told.append(type(found).__name__)
        if isinstance(found, Answer):
            assert verify(AUGUST, found.plan) == ()
            assert moved(plan, found) == []
            assert found.racks == sum(c.racks for c in found.charges) > 0
            assert found.bags.fewest <= found.bags.likely <= found.bags.most
            assert found.price.fees == sum(line.amount for line in found.price.lines)
            assert found.rest is None or found.rest.reason.endswith(").")
        else:
            assert (
                f"(rule{'s' if ' and ' in found.reason[-12:] else ''} {found.rule}" in found.reason
            )
            assert found.title
            assert found.waiting.field_g == each.field_g
    assert told.count("Answer") > 5
    assert told.count("NoRoom") > 5


def test_the_whole_spring_day_answer_by_answer():
    """Each answer is given against the one before it: no rack is promised twice."""
    asked, plan = replace(SPRING, notes=()), nothing(SPRING)
    for each in SPRING.notes:
        found = answered(asked, plan, each)
        assert isinstance(found, Answer)
        assert moved(plan, found) == []
        asked, plan = replace(asked, notes=(*asked.notes, each)), found.plan
    assert verify(SPRING, plan) == ()
    assert {charge.note_id for _, charge in plan.charges()} == {"S01", "S02", "S03", "S04"}


def test_it_shares_a_posted_run_as_it_stands():
    first = note(
        "N1", "G1", "tomato", 30_000, arrives=at("Mon 09:00"), latest_start=at("Mon 11:00")
    )
    second = note("N2", "G2", "tomato", 30_000, latest_start=at("Mon 12:00"))
    asked = week(place(), first, second)
    plan = posted(without(asked, "N2"))
    found = answered(asked, plan, second)
    assert isinstance(found, Answer)
    (charge,) = found.charges
    assert charge.shares_run
    assert charge.run_id == plan.runs[0].id
    assert moved(plan, found) == []


def test_what_has_no_place_waits_with_its_reason():
    large = note("N1", "G1", "tomato", 100_000, latest_start=at("Mon 18:00"))
    asked = week(place(), large)
    found = answered(asked, nothing(asked), large)
    assert isinstance(found, Answer)
    assert found.rest is not None
    assert found.rest in found.plan.waiting
    placed = sum(charge.field_g for _, charge in found.plan.charges())
    assert found.rest.field_g + placed == 100_000
    assert found.rest.rule is not None


def test_nothing_of_it_begins_before_now():
    early = note("N1", "G1", "tomato", 30_000)
    asked = week(place(), early)
    now = at("Tue 10:02")
    found = answered(asked, nothing(asked), early, now=now)
    assert isinstance(found, Answer)
    assert all(turn.span.start >= now for turn in found.turns)
    first = answered(asked, nothing(asked), early)
    assert isinstance(first, Answer)
    assert first.turns[0].span.start < now


def test_under_the_easier_rules_only_dryers_are_answered():
    asked = replace(SPRING, notes=())
    found = answered(
        asked, replace(nothing(asked), rules="simple"), SPRING.note("S04"), rules=SIMPLE
    )
    assert isinstance(found, Answer)
    assert verify(SPRING, found.plan, SIMPLE) == ()
    assert (found.steam_loads, found.charges[0].packing) == (0, None)
    assert [line.what for line in found.price.lines] == [
        "rack-hours by day",
        "rack-hours after 19:00",
    ]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"grower_id": "nobody"}, "nobody here is called nobody"),
        ({"card_id": "nothing"}, "there is no process card nothing"),
        ({"id": "S02"}, "it has a place already"),
    ],
)
def test_a_note_that_cannot_be_used(changes, why: str):
    plan = posted(without(SPRING, "S01"))
    with pytest.raises(BadInput, match=why):
        answered(without(SPRING, "S01"), plan, replace(SPRING.note("S01"), **changes))


def test_a_stale_plan_is_told():
    """A posted lot weighed in heavier than its note."""
    asked = without(SPRING, "S01")
    plan = posted(asked)
    first, *others = asked.notes
    heavier = replace(asked, notes=(replace(first, field_g=Grams(2 * first.field_g)), *others))
    with pytest.raises(StalePlan, match="can no longer be prepared"):
        answered(heavier, plan, SPRING.note("S01"))


def test_a_plan_that_breaks_a_rule_by_itself_is_told():
    """The posted lot may start only earlier than it does."""
    first = note("N1", "G1", "tomato", FULL_DRYER_G)
    asked = week(place(), first)
    plan = posted(asked)
    late = replace(first, latest_start=plan.runs[0].start - timedelta(minutes=5))
    with pytest.raises(StalePlan, match="breaks a rule by itself"):
        answered(replace(asked, notes=(late,)), plan, note("N2", "G1", "tomato", 9_000))


def test_the_solver_is_never_loaded():
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, scheduler.answer, scheduler.ledger; "
            "sys.stdout.write(' '.join(sys.modules))",
        ],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(told.stdout.split())
    assert "scheduler.answer" in loaded
    assert loaded.isdisjoint({"ortools", "highspy", "scheduler.model"})


def test_who_washes_in_the_evening_and_cuts_in_the_morning_has_two_turns():
    plan = posted(AUGUST)
    bill = lot_bill(AUGUST, plan, AUGUST.note("R09"))
    first, second = (turn.span for turn in bill.turns if turn.kind == "bringing")
    made = next(charge for _, charge in plan.charges() if charge.note_id == "R09").preparation
    assert made is not None
    assert (first, second.start) == (made.wash, made.cut.start)
    assert first.end.astimezone(ZONE).date() < second.start.astimezone(ZONE).date()
