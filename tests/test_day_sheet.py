"""The day sheet says what the plan says, once, in time order, by the kitchen's clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.day_sheet import DaySheet, day_sheet
from scheduler.day_sheet.sampling import sample_count, sample_racks
from scheduler.day_sheet.sheet import Line
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.errors import NoSuchPlan
from scheduler.scenario import load
from tests.printed_plan import printed_plan
from tests.worked_day import worked_day

TUESDAY = date(2026, 8, 18)
HALF_HOUR = timedelta(minutes=30)


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture(scope="module")
def sheet(august: Asked) -> DaySheet:
    return day_sheet(august, worked_day(august), TUESDAY)


def lines(sheet: DaySheet, act: str) -> list[Line]:
    return [line for line in sheet.lines if line.act == act]


def the(sheet: DaySheet, act: str, code: str) -> Line:
    found = [line for line in lines(sheet, act) if code in [lot.code for lot in line.lots]]
    assert len(found) == 1, found
    return found[0]


def test_lines_stand_in_time_order(sheet: DaySheet):
    times = [line.at for line in sheet.lines]
    assert times == sorted(times)
    assert {at.date() for at in times} == {TUESDAY}


def test_whoever_arrives_is_weighed_in_with_crates(sheet: DaySheet):
    line = the(sheet, "weigh in", "R09")
    assert f"{line.at:%H:%M}" == "08:00"
    assert (line.amount, line.who) == ("125 kg", ("Davit Kessane",))
    assert line.remark == "cold store, 13 crates; skins cracked by rain"
    assert line.lots[0].farm == "Kessane Rows"


def test_notes_without_a_place_are_not_weighed_in_but_told(sheet: DaySheet):
    assert [line.lots[0].code for line in lines(sheet, "weigh in")] == ["R07", "R09"]
    assert [each.lot.code for each in sheet.no_place] == ["R11"]


def test_each_table_has_its_line_and_crew(sheet: DaySheet):
    own, hands = (line for line in lines(sheet, "cut") if line.lots[0].code == "R09")
    assert (own.station_id, own.who) == ("T1", ("Davit Kessane",))
    assert own.remark == "slices, slicer"
    assert (hands.station_id, hands.who) == ("T2", ("Lotte Amberry", "Sal Orrin"))
    assert hands.remark == "slices"


def test_steam_loads_are_numbered_through_with_start_and_end(sheet: DaySheet):
    large, small = lines(sheet, "steam")
    assert (large.amount, large.who) == ("3 loads of 4.5 kg, 2 min 30 s", ("Lotte Amberry",))
    assert [load.number for load in (*large.loads, *small.loads)] == [1, 2, 3, 4]
    assert f"{large.loads[1].start:%H:%M:%S}" == "11:08:30"
    assert f"{large.loads[1].steamed:%H:%M:%S}" == "11:11:00"
    assert small.who == ("Ines Dunmarrow",)


def test_chilling_and_filling_follow_the_steam(sheet: DaySheet):
    chill, fill = the(sheet, "chill", "R07 A"), the(sheet, "fill", "R07 A")
    assert (chill.amount, chill.remark) == ("4 baskets", "20 min each")
    assert (fill.amount, fill.remark) == ("19 racks, 17.9 kg", "positions 1 to 19")


def test_a_run_start_tells_its_end_and_cool_hold(sheet: DaySheet):
    line = the(sheet, "start", "R09")
    assert line.amount == "40 racks, 57 °C, 15 h"
    assert line.remark == "ends Wed 02:15, cool hold to 07:00"


def test_a_run_that_ends_in_the_night_is_unloaded_after_its_cool_hold(sheet: DaySheet):
    assert the(sheet, "unload", "R03").remark == "cool hold since 01:45"


def test_an_end_has_its_own_line_only_where_unloading_comes_later(august: Asked, sheet: DaySheet):
    assert lines(sheet, "end") == []
    plan = worked_day(august)
    kale = next(run for run in plan.runs if run.charges[0].code == "R07 A")
    later = replace(kale, end=kale.end - HALF_HOUR, released=kale.end - HALF_HOUR)
    runs = tuple(later if run is kale else run for run in plan.runs)
    line = the(day_sheet(august, replace(plan, runs=runs), TUESDAY), "end", "R07 A")
    assert (f"{line.at:%H:%M}", line.remark) == ("18:00", "unload at 18:30")


def test_wash_down_says_before_what(sheet: DaySheet):
    (line,) = lines(sheet, "wash-down")
    assert (line.who, line.remark) == (("Sal Orrin",), "full, before R07 A")


def test_dry_check_names_racks_and_limits(sheet: DaySheet):
    line = the(sheet, "dry check", "R03")
    assert line.sample_racks[0] == 1
    assert line.sample_racks[-1] == 18
    assert len(line.sample_racks) == 3
    assert line.amount == f"racks {', '.join(map(str, line.sample_racks))}"
    assert line.remark == "closed by 08:00; at most aw 0.54, 10 %"


def test_packing_turns_stand_on_their_day_with_bags(august: Asked):
    wednesday = day_sheet(august, worked_day(august), TUESDAY + timedelta(days=1))
    line = the(wednesday, "pack", "R03")
    assert (line.amount, line.who) == ("68 bags of 50 g", ("Nuala Brannick",))


def test_who_is_in_the_house(sheet: DaySheet):
    people = {each.name: each for each in sheet.in_the_house}
    assert list(people) == ["Lotte Amberry", "Sal Orrin", "Ines Dunmarrow", "Davit Kessane"]
    brings, prepares = people["Davit Kessane"].visits
    assert (brings.what, prepares.what) == ("brings R09", "prepares R09")
    assert f"{prepares.start:%H:%M}-{prepares.end:%H:%M}" == "08:05-10:30"
    # the pair goes on attending a steamer after its cut
    _, washes, cuts = people["Ines Dunmarrow"].visits
    assert f"{washes.start:%H:%M}-{washes.end:%H:%M}" == "09:10-09:40"
    assert f"{cuts.start:%H:%M}-{cuts.end:%H:%M}" == "10:30-12:00"


def test_a_lot_washed_the_evening_before_brings_its_grower_on_both_days(august: Asked):
    plan = worked_day(august)
    tomato = next(run for run in plan.runs if run.charges[0].code == "R09")
    made = tomato.charges[0].preparation
    assert made is not None
    early = Span(made.wash.start - timedelta(days=1), made.wash.end - timedelta(days=1))
    charge = replace(tomato.charges[0], preparation=replace(made, wash=early))
    evening = replace(plan, runs=(replace(tomato, charges=(charge,)),))
    for day, hours in ((TUESDAY - timedelta(days=1), "08:05-09:10"), (TUESDAY, "09:10-10:30")):
        people = {each.name: each for each in day_sheet(august, evening, day).in_the_house}
        visit = people["Davit Kessane"].visits[-1]
        assert f"{visit.start:%H:%M}-{visit.end:%H:%M}" == hours


def test_night_sheet_has_ends_and_who_may_be_rung(sheet: DaySheet):
    assert sheet.night is not None
    (run,) = sheet.night.runs
    assert (run.dryer_id, f"{run.ends:%a %H:%M}") == ("D3", "Wed 02:15")
    assert run.cool_hold_until is not None
    assert f"{run.cool_hold_until:%H:%M}" == "07:00"
    assert [(each.name, each.telephone) for each in sheet.night.on_call] == [
        ("Jun Ferrow", "555-0101")
    ]


def test_rack_maps_show_positions(sheet: DaySheet):
    maps = {(each.dryer_id, f"{each.start:%a}"): each for each in sheet.rack_maps}
    assert set(maps) == {("D2", "Mon"), ("D2", "Tue"), ("D3", "Tue")}
    band = maps["D2", "Tue"].bands[0]
    assert (band.first, band.last, band.lot.code, band.group) == (1, 19, "R07 A", "mild")


def test_cautions_belong_to_the_work_of_the_day(august: Asked, sheet: DaySheet):
    assert {each.where for each in sheet.cautions} >= {"this plan", "steamers", "tonight"}
    assert all(each.source for each in sheet.cautions)
    wednesday = day_sheet(august, worked_day(august), TUESDAY + timedelta(days=1))
    assert "steamers" not in {each.where for each in wednesday.cautions}


def test_papers_out_of_date_on_the_day_are_told(august: Asked):
    friday = day_sheet(august, printed_plan(august), date(2026, 8, 21))
    short = {each.lot.code: each.missing for each in friday.papers_short}
    assert short["R26"] == ("liability insurance ended Thursday 20 August",)


def test_easier_rules_still_give_arrivals_and_dryers(august: Asked):
    tuesday = day_sheet(august, printed_plan(august), TUESDAY)
    assert {line.act for line in tuesday.lines} == {"weigh in", "start", "unload"}
    assert tuesday.rules == "simple"


def test_every_charge_of_the_week_is_started_once(august: Asked):
    plan = printed_plan(august)
    started = [
        lot.code
        for day in august.days
        for line in day_sheet(august, plan, day).lines
        if line.act == "start"
        for lot in line.lots
    ]
    assert sorted(started) == sorted(charge.code for _, charge in plan.charges())


def test_started_runs_and_stops_are_on_the_sheet():
    down = load("dryer_down")
    tuesday = day_sheet(down, Plan(down.week, "full", runs=(), duties=()), TUESDAY)
    assert [(line.station_id, line.remark) for line in lines(tuesday, "down")] == [
        ("D3", "fan motor tripped; back Thu 12:00")
    ]
    assert [(line.station_id, line.act) for line in tuesday.lines if line.act == "start"] == [
        ("D1", "start"),
        ("D2", "start"),
        ("D3", "start"),
        ("D1", "start"),
    ]
    assert tuesday.night is not None
    stopped = next(run for run in tuesday.night.runs if run.dryer_id == "D3")
    assert f"{stopped.ends:%H:%M}" == "22:10"


def test_closed_days_are_empty(august: Asked):
    sunday = day_sheet(august, printed_plan(august), date(2026, 8, 23))
    assert (sunday.staffed, sunday.lines, sunday.night) == ((), (), None)


def test_other_days_have_no_sheet(august: Asked):
    with pytest.raises(NoSuchPlan, match="covers Monday 17 August to Monday 24 August"):
        day_sheet(august, printed_plan(august), date(2026, 8, 25))


@given(first=st.integers(1, 20), racks=st.integers(1, 60), seed=st.text(max_size=5))
def test_sampled_racks_are_the_charges_own_and_enough(first: int, racks: int, seed: str):
    found = sample_racks(first, racks, seed=seed)
    assert len(found) == len(set(found)) == sample_count(racks)
    assert found[0] == first
    assert found[-1] <= first + racks - 1
    assert found == sample_racks(first, racks, seed=seed)


@pytest.mark.parametrize(("racks", "samples"), [(2, 2), (6, 3), (20, 3), (21, 4), (30, 4), (40, 5)])
def test_sample_count_by_hand(racks: int, samples: int):
    assert sample_count(racks) == samples
