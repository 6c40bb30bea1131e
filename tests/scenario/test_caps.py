"""What the members voted (rule 16), and the last day of a letter (rule 15), read from the files."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from scheduler.domain.kitchen import VotedCaps
from scheduler.errors import BadInput
from scheduler.scenario import load
from tests.scenario.conftest import Spoil


def test_the_bundled_kitchens_say_what_was_voted():
    for name in ("august", "dryer_down", "glut", "spring_day"):
        assert load(name).kitchen.caps == VotedCaps(turns_a_month=10, standing_percent=35)


def test_the_members_may_vote_otherwise(folder: Path, spoil: Spoil):
    spoil("kitchen.toml", "turns_a_month = 10", "turns_a_month = 6")
    spoil("kitchen.toml", "standing_percent = 35", "standing_percent = 20")
    assert load(folder).kitchen.caps == VotedCaps(turns_a_month=6, standing_percent=20)


def test_without_a_vote_the_defaults_hold(folder: Path):
    text = (folder / "kitchen.toml").read_text(encoding="utf-8")
    before, _, behind = text.partition("[caps]")
    fees = behind.partition("[fees]")[2]
    (folder / "kitchen.toml").write_text(f"{before}[fees]{fees}", encoding="utf-8")
    assert load(folder).kitchen.caps == VotedCaps(turns_a_month=10, standing_percent=35)


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("standing_percent = 35", "standing_percent = 101", "standing_percent"),
        ("turns_a_month = 10", "turns_a_month = 0", "turns_a_month"),
    ],
)
def test_what_cannot_have_been_voted(folder: Path, spoil: Spoil, old: str, new: str, field: str):
    spoil("kitchen.toml", old, new)
    with pytest.raises(BadInput, match=field):
        load(folder)


def test_a_letter_may_have_a_last_day(folder: Path, spoil: Spoil):
    assert load(folder).card("kale").approved_until is None
    spoil("process_cards.csv", ",approved,source", ",approved,approved_until,source")
    table = folder / "process_cards.csv"
    lines = table.read_text(encoding="utf-8").splitlines()
    changed = [each.replace(",yes,demo", ",yes,2026-08-19,demo") for each in lines]
    kept = [each.replace(",no,demo", ",no,,demo") for each in changed]
    table.write_text("\n".join(kept) + "\n", encoding="utf-8")
    kale = load(folder).card("kale")
    assert kale.approved_until == date(2026, 8, 19)
    assert kale.letter_holds(date(2026, 8, 19))
    assert not kale.letter_holds(date(2026, 8, 20))
