"""Every published value is the reference row's, names its source, and gaps stay gaps."""

from __future__ import annotations

import csv
import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from scheduler.errors import BadInput
from scheduler.scenario import load_cards

PUBLISHED = Path(__file__).parents[2] / "scenarios" / "published_cards"
REFERENCE = files("scheduler.process") / "reference"
RANGES = ("dry_temp_C", "fresh_store_temp_C")  # "60-66" there is lo and hi here


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines()))


CARDS = {row["id"]: row for row in rows((PUBLISHED / "process_cards.csv").read_text("utf-8"))}
SOURCES = rows((PUBLISHED / "sources.csv").read_text("utf-8"))
CROPS = {row["crop"]: row for row in rows((REFERENCE / "crops.csv").read_text("utf-8"))}
OBSERVED = {
    row["source"] for row in rows((REFERENCE / "blanch_dry_observations.csv").read_text("utf-8"))
}


def reference_value(source: dict[str, str]) -> str:
    file, column = source["reference"].split()
    assert file == "crops.csv"
    value = CROPS[source["card_id"]][column]
    if column not in RANGES:
        return value
    lo, _, hi = value.removeprefix("-").partition("-")
    sign = "-" if value.startswith("-") else ""
    return sign + (hi if "_hi_" in source["column"] and hi else lo)


@pytest.mark.parametrize("source", SOURCES, ids=lambda row: f"{row['card_id']} {row['column']}")
def test_each_value_is_the_reference_row_s(source):
    value = CARDS[source["card_id"]][source["column"]]
    assert value == source["value"] == reference_value(source)
    told = CROPS[source["card_id"]]["source"].split(" | ")
    assert source["source"] in {*told, *OBSERVED}


def test_every_filled_cell_has_one_source_and_no_gap_has_any():
    filled = {(card, column) for card, row in CARDS.items() for column, cell in row.items() if cell}
    sourced = [(row["card_id"], row["column"]) for row in SOURCES]
    assert set(sourced) == {each for each in filled if each[1] != "id"}
    assert len(sourced) == len(set(sourced))


def test_all_crops_of_the_reference_are_here():
    assert set(CARDS) == set(CROPS)


def test_dried_water_is_of_the_same_crop():
    for crop, card in CARDS.items():
        same = CROPS[crop]["dried_ref_match"].startswith("same crop")
        assert bool(card["water_out_percent"]) == same


def test_they_load_with_their_gaps():
    cards = {card.row.id: card for card in load_cards()}
    carrot = cards["carrot"]
    assert (carrot.row.steam_lo_s, carrot.row.steam_hi_s) == (360, 420)
    assert (carrot.row.drying_lo_s, carrot.row.drying_hi_s) == (18_000, 25_200)
    assert "Drying carrots" in carrot.sources["drying_lo_s"]
    kale = cards["kale"].row
    assert (kale.cut, kale.drying_lo_s, kale.water_out_percent) == (None, None, None)


def test_a_value_without_its_source_is_a_fault(tmp_path):
    folder = Path(shutil.copytree(PUBLISHED, tmp_path / "cards"))
    text = (folder / "process_cards.csv").read_text("utf-8")
    (folder / "process_cards.csv").write_text(text.replace("kale,,39", "kale,leaves,", 1), "utf-8")
    text = (folder / "sources.csv").read_text("utf-8").replace("\npear,cut", "\npeach,cut", 1)
    (folder / "sources.csv").write_text(text, "utf-8")
    with pytest.raises(BadInput) as raised:
        load_cards(folder)
    found = [str(fault) for fault in raised.value.faults]
    assert "process_cards.csv, row 9, cut: has no source in sources.csv" in found
    assert "process_cards.csv, row 9, trim_loss_percent: is empty, but sources.csv has it" in found
    assert "process_cards.csv, row 15, cut: has no source in sources.csv" in found
    assert any("no such card in process_cards.csv: 'peach'" in fault for fault in found)
