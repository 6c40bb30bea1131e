"""Fee lines of a lot and the price of a bag."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.clock import Span, local_instant
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import ColdStore
from scheduler.domain.plan import AfterDryer, Charge, Preparation, Run, SteamLoad, TablePlace
from scheduler.process import money
from scheduler.process.money import Usage
from scheduler.units import HOUR, Grams, Racks, Seconds
from tests.process.demo import CARD, FEES

ZONE = ZoneInfo("America/New_York")
MONDAY = date(2026, 8, 17)


def at(hour, minute=0, day=0):
    return local_instant(MONDAY + timedelta(days=day), time(hour, minute), ZONE)


def bill(usage, **more):
    lines = money.fee_lines(usage, FEES, zone=ZONE, **more)
    return {line.what: (line.quantity, line.amount) for line in lines}


def test_nothing_used_costs_nothing():
    assert bill(Usage(), member=False) == {"non-member surcharge": (Fraction(2, 5), 0)}
    assert bill(Usage()) == {}


def test_tables_are_cheaper_from_three_in_the_afternoon():
    assert bill(Usage(tables=(Span(at(14), at(15, 30)),))) == {
        "table hours": (1, 1400),
        "table hours after 15:00": (Fraction(1, 2), 500),
    }


def test_rack_hours_by_day_and_by_night():
    run = Span(at(11), at(2, day=1))
    assert bill(Usage(racks=((Racks(38), run),))) == {
        "rack-hours by day": (304, 4560),
        "rack-hours after 19:00": (266, 2926),
    }


def test_a_night_begun_the_day_before():
    run = Span(at(5), at(8))
    assert bill(Usage(racks=((Racks(1), run),))) == {
        "rack-hours by day": (1, 15),
        "rack-hours after 19:00": (2, 22),
    }


def test_a_night_that_does_not_pass_midnight():
    fees = replace(FEES, night_from_hour=0, night_to_hour=6)
    usage = Usage(racks=((Racks(1), Span(at(22), at(7, day=1))),))
    lines = money.fee_lines(usage, fees, zone=ZONE)
    assert [line.quantity for line in lines] == [3, 6]


def test_the_night_of_a_clock_change_has_an_hour_more():
    evening = local_instant(date(2026, 10, 31), time(19), ZONE)
    morning = local_instant(date(2026, 11, 1), time(7), ZONE)
    assert bill(Usage(racks=((Racks(1), Span(evening, morning)),))) == {
        "rack-hours after 19:00": (13, 143)
    }


def test_crates_loads_and_bench():
    usage = Usage(
        steam_loads=4,
        crates=((6, Span(at(8), at(8, 5, day=1))),),
        benches=(Span(at(9), at(10, 30)),),
    )
    assert bill(usage) == {
        "steam loads": (4, 1200),
        "crate-days": (12, 600),
        "bench hours": (Fraction(3, 2), 1200),
    }


def test_non_members_pay_two_fifths_more():
    usage = Usage(steam_loads=2)
    assert money.total(money.fee_lines(usage, FEES, zone=ZONE, member=False)) == 840


instants = st.datetimes(datetime(2026, 3, 1), datetime(2026, 11, 30), timezones=st.just(UTC))  # noqa: DTZ001


@given(instants, st.integers(0, 60 * HOUR), st.integers(1, 40))
def test_day_and_night_make_the_whole_run(start, length, racks):
    run = Span(start, start + timedelta(seconds=length))
    parts = bill(Usage(racks=((Racks(racks), run),)))
    assert sum(hours for hours, _ in parts.values()) == Fraction(racks * run.seconds, HOUR)


def test_half_a_cent_is_rounded_up():
    assert money.FeeLine("table hours", Fraction(1, 2), 3).amount == 2


def test_break_even_with_and_without_own_hours():
    price = money.break_even(15_200, 73, own=11_200, raw_value=8_400)
    assert price == money.BreakEven(with_own_hours=477, without_own_hours=324)
    with pytest.raises(ValueError, match="no bag"):
        money.break_even(15_200, 0, own=0)


@given(st.integers(0, 10**6), st.integers(1, 500), st.integers(0, 10**6))
def test_no_bag_is_sold_at_a_loss(cash, bags, own):
    price = money.break_even(cash, bags, own=own)
    assert price.with_own_hours * bags >= cash + own > (price.with_own_hours - 1) * bags
    assert price.without_own_hours <= price.with_own_hours


def test_own_work_and_cost_of_a_kilogram():
    assert money.own_work(Seconds(2 * 90 * 60), FEES) == 4_500
    assert money.cost_per_kg(34_800, Grams(7_360)) == 4_729


NOTE = HarvestNote("R26", "G04", "zucchini", Grams(42_000), at(9), at(9, day=2))
STORE = ColdStore("K1", "Cold store", 40, 10, Grams(10_000), 3)


def placed():
    load = SteamLoad("S1", "C1", at(10), at(10, 3), at(10, 9), at(10, 29), Grams(12_000))
    cut = Span(at(10), at(11))
    tables = (TablePlace("T1", "grower"), TablePlace("T2", "hands"))
    made = Preparation("W1", Span(at(9, 30), at(10)), cut, tables, (load, load), at(11, 30))
    after = AfterDryer(
        Span(at(8, day=1), at(9, day=1)), "P1", Span(at(9, day=1), at(10, day=1)), 40
    )
    charge = Charge("R26", "", Racks(19), 1, Grams(42_000), Grams(38_640), made, after)
    run = Run("D1-1", "D1", 57, at(12), at(22), at(7, day=1), None, None, (charge,))
    return run, charge


def test_what_a_planned_lot_uses():
    assert money.usage_of(NOTE, CARD, STORE, placed=[placed()]) == Usage(
        tables=(Span(at(10), at(11)), Span(at(10), at(11))),
        steam_loads=2,
        racks=((Racks(19), Span(at(12), at(22))),),
        crates=((5, Span(at(9), at(10))),),
        benches=(Span(at(9, day=1), at(10, day=1)),),
    )


def test_what_waits_outside_the_cold_store_pays_no_crates():
    card = replace(CARD, waits_outside_cold=True)
    assert money.usage_of(NOTE, card, STORE, placed=[placed()]).crates == ()


def test_a_plan_without_preparation_is_charged_for_racks_alone():
    run, charge = placed()
    bare = replace(charge, preparation=None, after=None)
    assert money.usage_of(NOTE, CARD, STORE, placed=[(run, bare)]) == Usage(
        racks=((Racks(19), Span(at(12), at(22))),)
    )
