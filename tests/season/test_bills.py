"""Invoices: G11's August by hand arithmetic beside the tool's, all lines against the records."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.harvest import Paper
from scheduler.domain.plan import AfterDryer, Charge, Plan, Preparation, Run, TablePlace, Waiting
from scheduler.scenario import load
from scheduler.season.bills import bill_lines, invoices
from scheduler.season.patronage import cost_per_rack_hour, patronage
from scheduler.season.records import Gone, LotRecord, Posted, Ran, Season, WeekRecord
from scheduler.season.turns import MemberLine
from scheduler.units import HOUR, Grams, Racks
from tests.builders import at, span
from tests.season.small import season

# G11 brings 125 kg of tomatoes on Tuesday 18 August (R09) and 60 kg of sweet peppers on Thursday 20
# (R22). Fees of the demo: table hour 14.00, 10.00 after 15:00; rack-hour 0.15 by day, 0.11 from
# 19:00 to 07:00; crate-day 0.50; bench hour 8.00. What the two lots took comes to, by hand:
#
#   R09, 40 racks in D3, Tue 11:20 to Wed 02:20 on record:
#     crates 125 kg / 10 kg = 13, from 08:00 to 09:05: one day begun      13 x 0.50 =   6.50
#     T1 from 09:05 to 11:10 = 125 min = 2.0833 h                    2.0833 x 14.00 =  29.17
#     by day 11:20 to 19:00 = 7 h 40 min, 40 racks = 306.667 rack-h  306.667 x 0.15 =  46.00
#     by night 19:00 to 02:20 = 7 h 20 min       = 293.333 rack-h    293.333 x 0.11 =  32.27
#     117.5 kg prepared x 6 / 92 = 7.663 kg = 76 bags; at 40 an hour 1 h 54 min,
#       on the grid 1 h 55 min = 1.9167 h                             1.9167 x 8.00 =  15.33
#                                                                                     129.27
#   R22, 19 racks in D2, Thu 15:40 to Fri 03:40 as posted:
#     crates 6, from Thu 10:00 to 14:10: one day begun                     6 x 0.50 =   3.00
#     T1 from 14:10 to 15:30: 50 min before 15:00 = 0.8333 h         0.8333 x 14.00 =  11.67
#                             30 min after        = 0.5 h               0.5 x 10.00 =   5.00
#     by day 15:40 to 19:00 = 3 h 20 min, 19 racks = 63.333 rack-h    63.333 x 0.15 =   9.50
#     by night 19:00 to 03:40 = 8 h 40 min         = 164.667 rack-h  164.667 x 0.11 =  18.11
#     49.2 kg x 8 / 93 = 4.232 kg = 42 bags: 1 h 3 min, on the grid 1 h 5 min = 1.0833 h
#                                                                     1.0833 x 8.00 =   8.67
#                                                                                      55.95
#   The invoice:                                                                       185.22
BY_HAND = (
    ("R09", "table hours", 2917),
    ("R09", "rack-hours by day", 4600),
    ("R09", "rack-hours after 19:00", 3227),
    ("R09", "crate-days", 650),
    ("R09", "bench hours", 1533),
    ("R22", "table hours", 1167),
    ("R22", "table hours after 15:00", 500),
    ("R22", "rack-hours by day", 950),
    ("R22", "rack-hours after 19:00", 1811),
    ("R22", "crate-days", 300),
    ("R22", "bench hours", 867),
)
TOTAL = 18522
AUGUST = date(2026, 8, 1)


def prepared(wash: str, cut: str, last_rack: str) -> Preparation:
    table = TablePlace("T1", "grower")
    return Preparation(
        "W1", span(*wash.split("/")), span(*cut.split("/")), (table,), (), at(last_rack)
    )


def run(dryer_id: str, start: str, end: str, charge: Charge) -> Run:
    return Run(f"{dryer_id} 1", dryer_id, 57.0, at(start), at(end), at(end), None, None, (charge,))


TOMATO = Charge(
    "R09", "", Racks(40), 1, Grams(125_000), Grams(117_500),
    prepared("Tue 08:00/09:05", "Tue 09:05/11:10", "Tue 11:20"),
    AfterDryer(span("Wed 09:00", "09:15"), "P1", span("Thu 08:00", "09:55"), 76),
)  # fmt: skip
PEPPER = Charge(
    "R22", "", Racks(19), 1, Grams(60_000), Grams(49_200),
    prepared("Thu 10:00/10:30", "Thu 14:10/15:30", "Thu 15:40"),
    AfterDryer(span("Fri 09:00", "09:15"), "P1", span("Fri 10:00", "11:05"), 42),
)  # fmt: skip


@pytest.fixture(scope="module")
def august() -> Season:
    """The week as G11 had it: R09 was written down and took as long as the card says, R22 not."""
    asked = load("august")
    tomato = run("D3", "Tue 11:20", "Wed 02:20", TOMATO)
    pepper = run("D2", "Thu 15:40", "Fri 03:40", PEPPER)
    plan = Plan(asked.week, "full", (tomato, pepper), ())
    lot = LotRecord("R09", "26-230-G11-TOM", at("Tue 08:00"), Grams(125_000))
    ran = (Ran(tomato, tomato, on_record=True), Ran(pepper, pepper, on_record=False))
    week = WeekRecord((Posted(asked, plan),), ran, (lot,))
    return Season("august", asked.week.days[0], asked.week.days[-1], (week,))


def test_the_august_invoice_of_g11_line_by_line(august: Season):
    (invoice,) = invoices(august)
    assert (invoice.grower_id, invoice.month) == ("G11", AUGUST)
    told = tuple((each.note_id, each.fee.what, each.amount) for each in invoice.lines)
    assert told == BY_HAND
    assert sum(amount for *_, amount in BY_HAND) == TOTAL == invoice.total


def test_every_line_names_its_record(august: Season):
    lines = invoices(august)[0].lines
    assert lines[1].record == (
        "R09: run D3 1 in D3, 40 racks, 2026-08-18 11:20 to Wed 02:20, on record"
    )
    assert lines[0].record == "R09: T1, 2026-08-18 09:05 to 11:10, as posted"
    assert lines[3].record == "R09: weighed in 2026-08-18 08:00, cut 2026-08-18 09:05"
    assert lines[7].record.endswith("as posted")
    assert [each.lot_code for each in lines] == ["26-230-G11-TOM"] * 5 + [""] * 6


def test_a_member_without_shares_pays_the_surcharge_on_what_she_had(august: Season):
    week = august.weeks[0]
    growers = tuple(
        replace(each, shares=0) if each.id == "G11" else each for each in week.asked.growers
    )
    asked = replace(week.asked, growers=growers)
    other = replace(august, weeks=(replace(week, posted=(Posted(asked, week.plan),)),))
    (invoice,) = invoices(other)
    assert [each.amount for each in invoice.lines if "surcharge" in each.fee.what] == [
        5171,  # 40 % of 129.27
        2238,  # 40 % of 55.95
    ]
    assert invoice.total == TOTAL + 5171 + 2238


def away(august: Season, how: str, when: str, *, waits: bool) -> Season:
    """R22 does not come. waits: R20, tomatoes of Thursday to Friday 20:00, has no place; else no
    note is left waiting."""
    week = august.weeks[0]
    keep = {"R09", "R22", "R20"} if waits else {"R09", "R22"}
    asked = replace(week.asked, notes=tuple(each for each in week.asked.notes if each.id in keep))
    gone = Gone("R22", how, at(when))  # type: ignore[arg-type] # either
    ran = tuple(each for each in week.ran if each.run.dryer_id == "D3")
    posted = (Posted(asked, week.plan),)
    return replace(august, weeks=(replace(week, posted=posted, ran=ran, gone=(gone,)),))


@pytest.mark.parametrize(
    ("how", "when", "amount"),
    [
        ("no-show", "Thu 12:00", 2761),  # all of 9.50 + 18.11
        ("let go", "Wed 18:05", 1381),  # half of it: later than 18:00 the evening before
        ("let go", "Wed 18:00", None),
    ],
)
def test_nobody_there_costs_only_if_somebody_was_turned_away(
    august: Season, how: str, when: str, amount: int | None
):
    found = bill_lines(away(august, how, when, waits=True))
    charged = [each for each in found if each.note_id == "R22"]
    assert [each.amount for each in charged] == ([] if amount is None else [amount])
    assert all("turned away: R20" in each.record for each in charged)
    empty = bill_lines(away(august, how, when, waits=False))
    assert not [each for each in empty if each.note_id == "R22"]


def with_r20(found: Season, *, grower: str = "", **changes: object) -> Season:
    """The note R20 otherwise than told, by its own grower with a paper short or by another."""
    week = found.weeks[0]
    notes = tuple(
        replace(each, grower_id=grower or each.grower_id, **changes)  # type: ignore[arg-type]
        if each.id == "R20"
        else each
        for each in week.asked.notes
    )
    asked = replace(week.asked, notes=notes)
    return replace(found, weeks=(replace(week, posted=(Posted(asked, week.plan),)),))


def short_of_papers(found: Season) -> Season:
    week = found.weeks[0]
    own = week.asked.note("R20").grower_id
    short = (Paper("orientation", None),)
    growers = tuple(
        replace(each, papers=short) if each.id == own else each for each in week.asked.growers
    )
    asked = replace(week.asked, growers=growers)
    return replace(found, weeks=(replace(week, posted=(Posted(asked, week.plan),)),))


def kept_out_by(found: Season, rule: int) -> Season:
    week = found.weeks[0]
    out = (Waiting("R20", Grams(1), Grams(1), rule),)
    posted = (Posted(week.asked, replace(week.plan, waiting=out)),)
    return replace(found, weeks=(replace(week, posted=posted),))


@pytest.mark.parametrize(
    "but",
    [
        lambda found: with_r20(found, grower="G11"),  # her own
        lambda found: with_r20(found, may_split=False, field_g=Grams(900_000)),  # 900 kg
        short_of_papers,
        lambda found: kept_out_by(found, 15),
        lambda found: kept_out_by(found, 16),
    ],
)
def test_who_could_not_have_had_the_place_was_not_turned_away(
    august: Season, but: Callable[[Season], Season]
):
    found = away(august, "no-show", "Thu 12:00", waits=True)
    assert [each for each in bill_lines(found) if each.note_id == "R22"]
    assert [each for each in bill_lines(kept_out_by(found, 5)) if each.note_id == "R22"]
    assert not [each for each in bill_lines(but(found)) if each.note_id == "R22"]


def test_a_place_that_nobody_came_for_bears_the_surcharge(august: Season):
    """27.61 and 40 % of it, 11.04."""
    found = away(august, "no-show", "Thu 12:00", waits=True)
    week = found.weeks[0]
    growers = tuple(
        replace(each, shares=0) if each.id == "G11" else each for each in week.asked.growers
    )
    posted = (Posted(replace(week.asked, growers=growers), week.plan),)
    other = replace(found, weeks=(replace(week, posted=posted),))
    (line,) = [each for each in bill_lines(other) if each.note_id == "R22"]
    assert line.amount == 2761 + 1104


def test_racks_dried_again_are_charged_as_rack_hours_alone(august: Season):
    week = august.weeks[0]
    again = run("D1", "Fri 08:00", "Fri 10:00", replace(TOMATO, racks=Racks(10)))
    ran = (*week.ran, Ran(again, None, on_record=True, again=True))
    lines = bill_lines(replace(august, weeks=(replace(week, ran=ran),)))
    more = [each for each in lines if "again" in each.record]
    assert [(each.fee.what, each.amount) for each in more] == [("rack-hours by day", 300)]


@settings(max_examples=8, deadline=None)
@given(st.integers(1, 40))
def test_rack_hours_of_all_invoices_are_those_of_the_runs(seed: int):
    found = season(seed)
    lines = [line for invoice in invoices(found) for line in invoice.lines]
    billed = sum(
        (each.fee.quantity for each in lines if each.fee.what.startswith("rack-hours")), Fraction(0)
    )
    ran = sum(each.rack_s for week in found.weeks for each in week.ran)
    assert billed == Fraction(ran, HOUR)
    assert sum(each.total for each in invoices(found)) == sum(
        each.amount for each in bill_lines(found)
    )


def test_a_charge_belongs_to_the_month_in_which_its_run_starts(august: Season):
    week = august.weeks[0]
    late = timedelta(days=13)  # the run of Tuesday 18 starts on Monday 31 and ends in September
    ran = tuple(
        replace(each, run=replace(each.run, start=each.run.start + late, end=each.run.end + late))
        for each in week.ran[:1]
    )
    found = invoices(replace(august, weeks=(replace(week, ran=ran),)))
    assert {each.month for each in found} == {AUGUST}


def member(grower_id: str, rack_h: int, shares: int = 1) -> MemberLine:
    return MemberLine(grower_id, shares, 1, 0, 0, 0, 0, 0, 0, rack_h * HOUR, 0)


def test_surplus_by_rack_hours_by_hand():
    """100.00 over 1, 1 and 1 rack-hours: 33.34, 33.33, 33.33, of which 30 % stay."""
    found = patronage([member(each, 1) for each in "ABC"], 10_000, retained_percent=30)
    assert [each.allotted for each in found] == [3334, 3333, 3333]
    assert [each.retained for each in found] == [1000, 999, 999]


@given(st.lists(st.integers(0, 500), min_size=1, max_size=12), st.integers(0, 10**7))
def test_surplus_is_shared_out_to_the_last_cent(hours: list[int], surplus: int):
    lines = [member(f"G{place}", each) for place, each in enumerate(hours)]
    lines.append(member("guest", 50, shares=0))
    found = patronage(lines, surplus, retained_percent=25)
    assert sum(each.allotted for each in found) == (surplus if any(hours) else 0)
    assert all(each.grower_id != "guest" for each in found)
    exact = [Fraction(each * surplus, sum(hours) or 1) for each in hours]
    assert all(abs(each.allotted - part) < 1 for each, part in zip(found, exact, strict=True))


def test_cost_of_a_rack_hour():
    assert cost_per_rack_hour(3000, 100 * HOUR) == 30
    assert cost_per_rack_hour(3000, 0) == 0
