"""One bad file of each kind: the fault names file, row and field, and nothing is half-loaded."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from scheduler.errors import BadInput, UnknownScenario
from scheduler.scenario import load


def faults_of(folder) -> list[str]:
    with pytest.raises(BadInput) as raised:
        load(folder)
    return [str(fault) for fault in raised.value.faults]


def test_the_copy_itself_is_in_order(folder):
    assert load(folder).notes == load("dryer_down").notes


def test_no_such_scenario_lists_the_bundled_ones(tmp_path):
    with pytest.raises(UnknownScenario, match="bundled are august, dryer_down, glut, spring_day"):
        load("midsummer")
    with pytest.raises(UnknownScenario):
        load(tmp_path / "nowhere")


def test_a_file_in_the_place_of_a_folder_is_no_scenario(tmp_path):
    (tmp_path / "week").write_text("", encoding="utf-8")
    with pytest.raises(UnknownScenario):
        load(tmp_path / "week")


@pytest.mark.parametrize(
    "file", ["kitchen.toml", "process_cards.csv", "growers.csv", "harvest_notes.csv"]
)
def test_missing_file(folder, file):
    (folder / file).unlink()
    assert faults_of(folder) == [f"{file}: the file is missing"]


def test_without_a_record_nothing_has_happened(folder):
    (folder / "happened.csv").unlink()
    assert load(folder).happened.runs == ()


@pytest.mark.parametrize("file", ["kitchen.toml", "harvest_notes.csv", "happened.csv"])
def test_empty_file(folder, file):
    (folder / file).write_text(" \n", encoding="utf-8")
    assert faults_of(folder) == [f"{file}: the file is empty"]


def test_wrong_encoding(folder):
    text = (folder / "growers.csv").read_text(encoding="utf-8").replace("Odile", "Odilé")
    (folder / "growers.csv").write_text(text, encoding="latin-1")
    assert faults_of(folder) == ["growers.csv: is not UTF-8 (byte 207); save it again as UTF-8"]


def test_header_only(folder):
    header = (folder / "growers.csv").read_text(encoding="utf-8").splitlines()[0]
    (folder / "growers.csv").write_text(header, encoding="utf-8")
    assert "growers.csv: has a header but no rows" in faults_of(folder)


def test_semicolons(folder):
    text = (folder / "growers.csv").read_text(encoding="utf-8").replace(",", ";")
    (folder / "growers.csv").write_text(text, encoding="utf-8")
    message = "growers.csv, row 1: cells are parted by semicolons; save it with commas"
    assert faults_of(folder) == [message]


def test_open_quote(folder, spoil):
    spoil("growers.csv", '"tomato, basil"', '"tomato, basil')
    assert faults_of(folder)[0].startswith("growers.csv: is not a CSV table: ")


# Each row: a file, what is replaced in it, by what, and what must then be said.
with (Path(__file__).parent / "data" / "spoilt.csv").open(encoding="utf-8", newline="") as lines:
    SPOILT = [tuple(row.values()) for row in csv.DictReader(lines)]


@pytest.mark.parametrize(("file", "old", "new", "fault"), SPOILT)
def test_one_fault(folder, spoil, file, old, new, fault):
    spoil(file, old, new)
    found = faults_of(folder)
    assert fault in found, found


def test_a_second_table_of_the_same_name_is_not_toml(folder, spoil):
    spoil("kitchen.toml", "[limits]", "[fees]\nbag = 0.32\n\n[limits]")
    assert "kitchen.toml" in faults_of(folder)[0]
    assert "is not TOML" in faults_of(folder)[0]


def test_a_missing_table(folder):
    text = (folder / "kitchen.toml").read_text(encoding="utf-8")
    (folder / "kitchen.toml").write_text(text[: text.index("[fees]")], encoding="utf-8")
    assert faults_of(folder) == ["kitchen.toml, fees: is missing"]


def test_a_week_without_staffed_hours(folder, spoil):
    days = ", ".join(f"2026-08-{day}" for day in range(17, 24))
    spoil("kitchen.toml", "closures = []", f"closures = [{days}]")
    assert "kitchen.toml, kitchen.staffed: no staffed hours in the week 2026-W34" in faults_of(
        folder
    )


def test_a_closed_day(folder, spoil):
    spoil("kitchen.toml", "closures = []", "closures = [2026-08-21]")
    found = faults_of(folder)
    assert [fault.split(":")[0] for fault in found] == [
        f"harvest_notes.csv, row {row}, arrives" for row in (25, 26, 27)
    ]
    assert all("the kitchen is closed all day on 2026-08-21" in fault for fault in found)


def test_a_note_too_large_for_any_dryer(folder, spoil):
    spoil("harvest_notes.csv", "R02,G01,tomato,120,", "R02,G01,tomato,400,")
    spoil("harvest_notes.csv", "112.8,38,57,15,0,7.36", ",,,,,")
    message = "too large for any dryer, in 3 at most: needs 126 racks of D1 or 126 racks of D2"
    assert any(message in fault for fault in faults_of(folder))


def test_a_whole_note_must_fit_one_run(folder, spoil):
    spoil("harvest_notes.csv", "112.8,38,57,15,0,7.36", ",,,,,")
    spoil("harvest_notes.csv", "R02,G01,tomato,120,", "R02,G01,tomato,130,")
    assert load(folder).note("R02").field_g == 130_000
    spoil("harvest_notes.csv", "2026-08-18T20:00,yes", "2026-08-18T20:00,no")
    assert any("too large for any dryer, in 1 at most" in fault for fault in faults_of(folder))


def test_no_dryer_takes_it(folder, spoil):
    spoil("process_cards.csv", "1.0,38,3", "1.0,65,3")
    message = "process_cards.csv, row 13, set_point_c: no dryer takes aroma at 65 °C"
    assert message in faults_of(folder)


def test_a_record_needs_a_now(folder, spoil):
    spoil("kitchen.toml", "now = 2026-08-18T22:10:00\n", "")
    found = faults_of(folder)
    assert len(found) == 10
    assert "kitchen.toml does not say what time it is" in found[0]


def test_rows_of_one_run_must_agree(folder, spoil):
    row = "run,D1,2026-08-17T14:30,2026-08-17T22:30,60,R12,2,,\n"
    text = (folder / "happened.csv").read_text(encoding="utf-8")
    (folder / "happened.csv").write_text(text + row, encoding="utf-8")
    message = "happened.csv, row 12, end: rows of one run must have the same end and set point"
    assert faults_of(folder) == [message]


def test_all_faults_of_all_files_at_once(folder, spoil):
    spoil("kitchen.toml", "racks = 20", "racks = 0")
    spoil("process_cards.csv", "mild,6,94,8,", "mild,six,94,8,")
    spoil("growers.csv", "G03,Ines", "G02,Ines")
    spoil("harvest_notes.csv", "R02,G01,tomato,120,", "R02,G01,tomato,-5,")
    (folder / "happened.csv").write_bytes(b"\xff\xfe")
    assert faults_of(folder) == [
        "kitchen.toml, dryers[D1].racks: must be more than 0; found '0'",
        "process_cards.csv, row 2, trim_loss_percent: must be a number; found 'six'",
        "harvest_notes.csv, row 3, field_kg: must be more than 0; found '-5'",
        "happened.csv: is not UTF-8 (byte 1); save it again as UTF-8",
        "growers.csv, row 4, id: 'G02' stands in row 3 already",
    ]


def test_a_table_at_fault_is_not_held_against_the_others(folder, spoil):
    spoil("growers.csv", "5,2,Sat", "5,9,Sat")
    assert faults_of(folder) == ["growers.csv, row 2, people: must be 2 or less; found '9'"]


def test_rows_are_counted_as_in_a_spreadsheet(folder, spoil):
    spoil("harvest_notes.csv", "cut at dawn", '"cut\nat dawn"')
    spoil("harvest_notes.csv", "R07,G03", "\nR07,G03")
    spoil("harvest_notes.csv", "R08,G05", "R08,G99")
    message = "harvest_notes.csv, row 10, grower_id: no such grower in growers.csv: 'G99'"
    assert faults_of(folder) == [message]


def test_what_looks_like_a_formula_is_plain_text(folder, spoil):
    spoil("harvest_notes.csv", "cut at dawn", '"=HYPERLINK(""http://x"",""y"")"')
    assert load(folder).note("R05").remark == '=HYPERLINK("http://x","y")'


def test_an_absence_that_ends_before_it_starts(folder, spoil):
    spoil("growers.csv", "people,cannot,", "people,away,")
    spoil("growers.csv", "5,2,Sat", "5,2,2026-08-20; 2026-08-21T12:00/2026-08-21T09:00")
    found = faults_of(folder)
    assert "growers.csv, row 2, away: ends before it starts" in found


def test_steaming_needs_a_steamer(folder):
    text = (folder / "kitchen.toml").read_text(encoding="utf-8")
    start, end = text.index("[[steamers]]"), text.index("[[chill_tubs]]")
    (folder / "kitchen.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    message = "process_cards.csv, row 3, steam_min: is steamed, but the kitchen has no steamer"
    assert message in faults_of(folder)
