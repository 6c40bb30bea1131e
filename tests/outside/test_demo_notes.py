"""The demo's printed weights and racks, worked out again from its card table (invented)."""

import csv
from pathlib import Path

import pytest

from scheduler.process import racks, yields
from scheduler.units import grams, kg

HERE = Path(__file__).parent


def table(name):
    with (HERE / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


CARDS = {row["crop"]: row for row in table("demo_cards.csv")}
NOTES = table("demo_notes.csv")


def test_all_notes_are_here():
    assert len(NOTES) == 64


@pytest.mark.parametrize("note", NOTES, ids=[note["note"] for note in NOTES])
def test_derived_columns(note):
    card = CARDS[note["crop"]]
    prepared = yields.trimmed_g(grams(float(note["field_kg"])), float(card["trim_loss_percent"]))
    dried = yields.dried_g(
        prepared,
        float(card["water_in_percent"]),
        water_out_percent=float(card["water_out_percent"]),
    )
    needed = racks.racks_needed(
        prepared, int(card["g_per_m2"]), rack_area_cm2=int(card["rack_area_cm2"])
    )
    assert needed == int(note["racks"])
    assert kg(prepared) == pytest.approx(float(note["prepared_kg"]), abs=0.05 + 1e-9)
    assert kg(dried) == pytest.approx(float(note["dried_kg"]), abs=0.005 + 0.001)
