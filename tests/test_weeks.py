"""Invented weeks keep what they promise: they load, they repeat, they ask for too much."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.scenario import load
from scheduler.weeks import asked_share, small_kitchen, week
from tests.scenario_folder import write_scenario

SEEDS = range(6)
GROUPS = {"mild", "sweet", "strong", "hot", "aroma"}


def peak(seed: int) -> Asked:
    return week(seed, lots=60, dryers=8)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("make", [week, peak, small_kitchen])
def test_passes_the_loader_unchanged(make, seed: int, tmp_path: Path):
    asked = make(seed)
    loaded = load(write_scenario(tmp_path / asked.name, asked))
    assert loaded == asked


@pytest.mark.parametrize("make", [week, peak, small_kitchen])
def test_the_same_seed_is_the_same_week(make):
    assert make(3) == make(3)
    assert make(3).notes != make(4).notes


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    ("lots", "dryers", "percent"), [(25, 5, 130), (60, 8, 130), (25, 5, 100), (60, 8, 200)]
)
def test_asks_for_what_it_was_told(lots: int, dryers: int, percent: int, seed: int):
    asked = week(seed, lots=lots, dryers=dryers, asked_percent=percent)
    racks = [dryer.racks for dryer in asked.kitchen.dryers]
    assert (len(asked.notes), len(racks)) == (lots, dryers)
    assert 12 <= min(racks) <= max(racks) <= 40
    one_rack = percent / sum(racks)
    assert percent - 1.1 * one_rack <= 100 * asked_share(asked) <= percent


def test_asked_share_counts_as_the_glut_does_by_hand():
    # Asked: scenarios/glut/README.md. Single runs: 80 racks x 15 h and 12 racks x 12 h a day.
    assert asked_share(load("glut")) == pytest.approx(12_844 / (5 * (80 * 15 + 12 * 12)))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_week_is_plausible(seed: int):
    asked = week(seed)
    cards = [asked.card(note.card_id) for note in asked.notes]
    weekdays = asked.kitchen.staffed_spans(asked.week.days[:5])
    assert {card.group for card in cards} == GROUPS
    assert sum(card.steam_s > 0 for card in cards) == len(cards) // 3
    assert 8 <= len(asked.growers) <= 14
    assert asked.happened.runs == ()
    for note, card in zip(asked.notes, cards, strict=True):
        assert any(day.holds(note.arrives) for day in weekdays)
        assert (note.latest_start - note.arrives).total_seconds() == card.keeping_s
        assert card.group == "aroma" or 20_000 <= note.field_g <= 130_000


def test_every_lot_could_be_prepared_in_some_size():
    for asked in [week(1), peak(1), *map(small_kitchen, range(20))]:
        assert all(lot.dryers and lot.sizes for lot in prepare.problem(asked).lots)


def test_a_share_out_of_reach_is_told():
    with pytest.raises(ValueError, match="do not ask for 400 percent"):
        week(1, asked_percent=400)
    with pytest.raises(ValueError, match="ask for more than 30 percent"):
        week(1, asked_percent=30)
    with pytest.raises(ValueError, match="at least"):
        week(1, lots=4)


def test_small_kitchens_are_small_and_varied():
    kitchens = [small_kitchen(seed) for seed in range(80)]
    for asked in kitchens:
        days = {note.arrives.date() for note in asked.notes}
        assert len(asked.kitchen.dryers) <= 2
        assert 2 <= len(asked.notes) <= 5
        assert len(days) <= 2
        last = asked.kitchen.staffed_spans(asked.week.days[:2])[-1].end
        assert all(note.latest_start <= last for note in asked.notes)
    notes = [(asked, note) for asked in kitchens for note in asked.notes]
    assert {asked.card(note.card_id).group for asked, note in notes} == GROUPS
    assert {note.may_split for _, note in notes} == {True, False}
    assert {asked.grower(note.grower_id).people for asked, note in notes} == {1, 2}
