"""The bundled scenarios load, agree with each other, and hold the figures they are known by."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from scheduler.domain.clock import Week
from scheduler.process.racks import racks_needed
from scheduler.process.steaming import loads_needed
from scheduler.process.yields import dried_g, trimmed_g
from scheduler.scenario import bundled, load
from scheduler.units import Grams, grams

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NAMES = ("august", "dryer_down", "glut", "spring_day")


def test_the_four_are_bundled():
    assert bundled() == NAMES


def test_all_stand_in_the_same_kitchen():
    first = load("august")
    for name in NAMES[1:]:
        other = load(name)
        assert other.kitchen == first.kitchen
        assert other.cards == first.cards
        assert other.growers == first.growers


@pytest.mark.parametrize(
    ("name", "week", "notes", "field_kg"),
    [
        ("august", Week(2026, 34), 26, 1447),
        ("dryer_down", Week(2026, 34), 26, 1447),
        ("glut", Week(2026, 37), 34, 2941),
        ("spring_day", Week(2026, 17), 4, 121),
    ],
)
def test_size(name, week, notes, field_kg):
    asked = load(name)
    assert (asked.name, asked.week, len(asked.notes)) == (name, week, notes)
    assert sum(note.field_g for note in asked.notes) == grams(field_kg)


def totals(name: str) -> dict[str, float]:
    asked = load(name)
    found = {"prepared": 0.0, "dried": 0.0, "rack_hours": 0.0, "pair_hours": 0.0, "loads": 0.0}
    for note in asked.notes:
        card = asked.card(note.card_id)
        dryer = next(each for each in asked.kitchen.dryers if card.group in each.groups)
        prepared = trimmed_g(note.field_g, card.trim_loss_percent)
        racks = racks_needed(prepared, card.g_per_m2, rack_area_cm2=dryer.rack_area_cm2)
        dried = dried_g(prepared, card.water_in_percent, water_out_percent=card.water_out_percent)
        found["prepared"] += prepared / 1000
        found["dried"] += dried / 1000
        found["rack_hours"] += racks * card.drying_s / 3600
        found["pair_hours"] += note.field_g / card.pair_g_per_h
        # The printed figure counts loads by weight alone, not by the depth of the basket.
        found["loads"] += loads_needed(prepared, Grams(12_000)) if card.steam_s else 0
    return found


def test_august_asks_for_what_it_is_known_to_ask_for():
    found = totals("august")
    assert found["prepared"] == pytest.approx(1208, abs=0.5)
    assert found["dried"] == pytest.approx(117, abs=0.5)
    assert found["prepared"] - found["dried"] == pytest.approx(1091, abs=0.5)
    assert found["rack_hours"] == 6225
    assert found["pair_hours"] == pytest.approx(44.4, abs=0.05)
    assert found["loads"] == 46


def test_glut_asks_for_more_than_there_is():
    found = totals("glut")
    assert found["prepared"] == pytest.approx(2557, abs=0.5)
    assert found["rack_hours"] == 12_844
    kitchen = load("glut").kitchen
    assert sum(dryer.racks for dryer in kitchen.dryers) * 126 == 11_592


@pytest.mark.parametrize("name", NAMES)
def test_every_latest_start_is_the_end_of_the_keeping_time(name):
    asked = load(name)
    for note in asked.notes:
        keeping = timedelta(seconds=asked.card(note.card_id).keeping_s)
        assert note.latest_start == note.arrives + keeping


def test_dryers():
    listed = [
        (each.id, each.racks, each.rack_area_cm2, each.coolest_c, each.hottest_c, each.watts)
        for each in load("august").kitchen.dryers
    ]
    assert listed == [
        ("D1", 20, 6000, 35, 70, 7500),
        ("D2", 20, 6000, 35, 70, 7500),
        ("D3", 40, 6000, 45, 70, 15_000),
        ("D4", 12, 4000, 30, 50, 1500),
    ]
    turns = [
        (each.turn_round_s, each.unload_s, each.wash_down_s, each.full_draw_s)
        for each in load("august").kitchen.dryers
    ]
    assert turns == [
        (3600, 1800, 3600, 10_800),
        (3600, 1800, 3600, 10_800),
        (3600, 2700, 5400, 10_800),
        (3600, 900, 3600, 10_800),
    ]


def test_other_stations():
    kitchen = load("august").kitchen
    steamers = [(s.load_g, s.basket_area_cm2, s.handling_s, s.watts) for s in kitchen.steamers]
    assert steamers == [(12_000, 6000, 360, 9000), (8000, 4000, 360, 6000)]
    assert [(tub.holds_g, tub.chill_s) for tub in kitchen.chill_tubs] == [(25_000, 1200)]
    assert [line.g_per_h for line in kitchen.wash_lines] == [120_000]
    assert [(table.id, table.slicer_percent) for table in kitchen.tables] == [
        ("T1", 150),
        ("T2", 100),
        ("T3", 100),
    ]
    cold = kitchen.cold_store
    assert (cold.crates, cold.part_dry_crates, cold.crate_g, cold.celsius) == (40, 10, 10_000, 3)
    assert [bench.bags_per_h for bench in kitchen.benches] == [40]
    assert [freezer.holds_g for freezer in kitchen.freezers] == [120_000]
    assert kitchen.meters[0].salts == (0.25, 0.75)


def test_house_limits_and_fees():
    kitchen = load("august").kitchen
    minutes = {
        name: getattr(kitchen.limits, name) / 60
        for name in kitchen.limits.__slots__
        if name.endswith("_s")
    }
    assert minutes == {
        "cool_hold_most_s": 480,
        "unloaded_within_s": 60,
        "cut_to_steam_s": 60,
        "steam_to_dryer_s": 120,
        "cut_to_dryer_s": 180,
        "filled_to_start_s": 90,
        "last_rack_s": 10,
        "change_over_s": 10,
        "cool_s": 10,
        "sample_closed_s": 30,
        "dry_check_s": 15,
    }
    assert (kitchen.limits.basket_depth_mm, kitchen.limits.supply_watts) == (50, 36_000)
    fees = kitchen.fees
    assert (fees.table_hour, fees.table_hour_late, fees.late_from_hour) == (1400, 1000, 15)
    assert (fees.rack_hour_day, fees.rack_hour_night, fees.steam_load) == (15, 11, 300)
    assert (fees.crate_day, fees.bench_hour, fees.non_member_percent) == (50, 800, 40)


def test_wash_downs():
    groups = load("august").kitchen.groups
    table = {each.id: (each.wash_down_before, each.change_over_s) for each in groups}
    everything = set(table)
    for calm in ("mild", "sweet", "aroma"):
        assert table[calm] == (frozenset(), 0)
    for sharp in ("strong", "hot"):
        assert table[sharp][0] == everything - {sharp}
        assert table[sharp][1] == 1800


def test_hands_hours_and_absences():
    asked = load("august")
    shifts = {hand.name: len(hand.shifts) for hand in asked.kitchen.hands}
    assert shifts == {"Lotte Amberry": 6, "Jun Ferrow": 3, "Sal Orrin": 3}
    assert sum(span.seconds for span in asked.kitchen.staffed_spans(asked.week.days)) == 66 * 3600
    board = asked.cannot_come(asked.grower("G03"))
    assert board[0].start == datetime(2026, 8, 19, 16, tzinfo=UTC)
    assert board[0].end == datetime(2026, 8, 19, 23, tzinfo=UTC)
    market = asked.cannot_come(asked.grower("G01"))
    assert [span.seconds for span in market] == [24 * 3600]


def test_papers_on_the_day_they_are_told_for():
    asked, day = load("august"), date(2026, 8, 14)
    short = {
        grower.id: [paper.kind for paper in grower.papers_short(day)] for grower in asked.growers
    }
    assert {name for name, papers in short.items() if papers} == {"G08", "G10"}
    assert short["G10"] == ["orientation of the helper"]
    assert asked.grower("G04").papers_short(date(2026, 8, 20)) == ()
    assert asked.grower("G04").papers_short(date(2026, 8, 21))[0].kind == "liability insurance"
    assert [card.id for card in asked.cards if not card.approved] == ["chili"]
    assert [grower.people for grower in asked.growers] == [2] * 11 + [1]


def test_the_night_of_the_stopped_dryer():
    asked = load("dryer_down")
    happened = asked.happened
    assert happened.now == datetime(2026, 8, 19, 2, 10, tzinfo=UTC)
    assert len(list(asked.open_notes())) == 18
    assert sum(note.field_g for note in asked.open_notes()) == grams(854)
    stopped = happened.outages[0]
    assert (stopped.station_id, stopped.stopped) == ("D3", happened.now)
    assert stopped.back == datetime(2026, 8, 20, 16, tzinfo=UTC)
    inside = [run for run in happened.runs if run.end > happened.now]
    assert {(run.dryer_id, run.charges[0].note_id) for run in inside} == {
        ("D1", "R10"),
        ("D2", "R08"),
        ("D3", "R09"),
    }
    tomatoes = next(run for run in inside if run.dryer_id == "D3")
    assert tomatoes.charges[0].racks == 40
    assert happened.now - tomatoes.start == timedelta(hours=10, minutes=55)
    assert tomatoes.end - tomatoes.start == timedelta(hours=15)


@pytest.mark.parametrize("name", NAMES)
def test_started_runs_last_as_long_as_their_cards_say(name):
    asked = load(name)
    for run in asked.happened.runs:
        card = asked.card(asked.note(run.charges[0].note_id).card_id)
        assert run.end - run.start == timedelta(seconds=card.drying_s)
        assert run.set_point_c == card.set_point_c


@pytest.mark.parametrize("name", NAMES)
def test_every_file_is_marked_demo(name):
    for file in (SCENARIOS / name).iterdir():
        assert re.search(r"\bdemo\b", file.read_text(encoding="utf-8")), file
