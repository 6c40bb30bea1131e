"""The derived columns of the bundled notes, worked out again from the bundled cards."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from scheduler.process.racks import racks_needed
from scheduler.process.yields import dried_g, trimmed_g
from scheduler.units import grams

SCENARIOS = Path(__file__).parents[2] / "scenarios"
AREA_CM2 = {"aroma": 4000}  # herbs go into D4; every other rack is 0.60 m2


def table(scenario: str, file: str) -> list[dict[str, str]]:
    with (SCENARIOS / scenario / file).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


NOTES = [
    (scenario, note)
    for scenario in ("august", "spring_day", "glut")
    for note in table(scenario, "harvest_notes.csv")
]


def test_all_sixty_four_are_here():
    assert len(NOTES) == 64


@pytest.mark.parametrize(("scenario", "note"), NOTES, ids=[note["id"] for _, note in NOTES])
def test_derived_columns(scenario, note):
    cards = {card["id"]: card for card in table(scenario, "process_cards.csv")}
    card = cards[note["card_id"]]
    prepared = trimmed_g(grams(float(note["field_kg"])), float(card["trim_loss_percent"]))
    area = AREA_CM2.get(card["group"], 6000)
    density = round(float(card["kg_per_m2"]) * 1000)
    dried = dried_g(
        prepared,
        float(card["water_in_percent"]),
        water_out_percent=float(card["water_out_percent"]),
    )
    # Printed to 0.1 and 0.01 kg; weights are cut to whole grams.
    assert float(note["prepared_kg"]) * 1000 == pytest.approx(prepared, abs=50 + 1)
    assert float(note["dried_kg"]) * 1000 == pytest.approx(dried, abs=5 + 1)
    assert int(note["racks"]) == racks_needed(prepared, density, rack_area_cm2=area)
    for column in ("set_point_c", "drying_h", "steam_min"):
        assert float(note[column]) == float(card[column])


def test_the_night_of_the_stopped_dryer_has_the_notes_of_august():
    assert table("dryer_down", "harvest_notes.csv") == table("august", "harvest_notes.csv")
