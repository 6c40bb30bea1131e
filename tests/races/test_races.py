"""Races: where instances come from, who runs, what is told; the command."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from typer.testing import CliRunner

from scheduler.cli import app, race_suites
from scheduler.errors import BadInput
from scheduler.races import Effort, Entry, Race, Suite, instances, peers, race_json, races
from scheduler.races.published import BEST, Known
from scheduler.shops import referee
from scheduler.shops.chain import length
from scheduler.shops.ovens import Oven
from scheduler.terminal.races import races_table
from tests.shops.tiny import dead_end, every_schedule, tiny_shop

LITTLE = Effort(seconds=1, workers=1)
runner = CliRunner(env={"COLUMNS": "160", "NO_COLOR": "1"})
SHOP = "2 2\n0 3 1 4\n1 5 0 6\n"


def entry(**changes: Any) -> Entry:
    return replace(Entry("ours", 110, 100, 1.5, 0.1, 2.0), **changes)


def test_an_entry_is_proven_where_its_bound_meets_it():
    assert not entry().proven
    assert entry(value=100).proven
    assert not entry(value=None).proven
    assert not entry(bound=None).proven


def test_how_much_above_the_best():
    race = Race("x", "2 jobs", 100, (entry(),))
    assert race.over(race.entries[0]) == pytest.approx(0.1)
    assert race.over(entry(value=None)) is None
    assert replace(race, best=None).over(entry()) is None


@pytest.mark.parametrize("suite", list(Suite))
def test_each_suite_has_something_of_its_own(suite: Suite):
    known = instances(suite, "")
    names = [each.instance.name for each in known]
    assert len(set(names)) == len(names) >= 1
    assert [each.best for each in known] == [BEST.get(suite, {}).get(name) for name in names]


def test_instances_come_from_folders_and_files(tmp_path: Path):
    for name in ("b10", "b2", "ft06"):
        (tmp_path / f"{name}.txt").write_text(SHOP)
    (tmp_path / "best.csv").write_text("instance,best\nb2,9\n")
    known = instances(Suite.JOB_SHOP, str(tmp_path))
    assert [(each.instance.name, each.best) for each in known] == [
        ("b2", 9),
        ("b10", None),
        ("ft06", 55),
    ]
    given = f"{tmp_path / 'b2.txt'},{tmp_path / 'b10.txt'}"
    assert [each.instance.name for each in instances(Suite.JOB_SHOP, given)] == ["b2", "b10"]


def test_what_is_known_of_a_job_shop_is_not_known_of_a_flexible_one(tmp_path: Path):
    for name in ("la01", "mk01"):
        (tmp_path / f"{name}.txt").write_text("1 1\n1 1 1 5\n")
    known = instances(Suite.FLEXIBLE, str(tmp_path))
    assert [(each.instance.name, each.best) for each in known] == [("la01", None), ("mk01", 40)]


def test_what_is_wrong_with_a_folder(tmp_path: Path):
    with pytest.raises(BadInput, match=r"holds no \.dzn files"):
        instances(Suite.OVENS, str(tmp_path))
    (tmp_path / "a.txt").write_text(SHOP)
    (tmp_path / "best.csv").write_text("instance,best\na,soon\n")
    with pytest.raises(BadInput, match="row 2: needs the columns instance and best"):
        instances(Suite.JOB_SHOP, str(tmp_path))


def test_all_run_on_a_shop_and_are_judged(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(peers, "installed", lambda: False)
    (race,) = races(instances(Suite.JOB_SHOP, ""), LITTLE)
    assert [each.who for each in race.entries] == ["ours", "dispatcher", "one model"]
    assert all(each.faults == () for each in race.entries)
    ours, by_rule, _ = race.entries
    assert ours.value is not None
    assert by_rule.value is not None
    assert 55 <= ours.value <= by_rule.value


def test_all_run_on_ovens_and_are_judged():
    (race,) = races(instances(Suite.OVENS, "")[:1], LITTLE)
    assert [each.who for each in race.entries] == ["ours", "dispatcher", "one model"]
    assert all(each.faults == () for each in race.entries)
    ours, by_rule, _ = race.entries
    assert ours.value is not None
    assert by_rule.value is not None
    assert ours.value <= by_rule.value


def test_who_finds_nothing_has_no_figure():
    (race,) = races([Known(dead_end(), None)], LITTLE)
    assert [(each.who, each.value is None) for each in race.entries] == [
        ("ours", False),
        ("dispatcher", True),
        ("one model", False),
    ]
    full = replace(dead_end(), ovens=(Oven(10, ((0, 39),), 0),))
    (race,) = races([Known(full, None)], LITTLE)
    assert [each.value for each in race.entries] == [None] * 3


def test_the_peer_is_judged_where_it_is_installed():
    pytest.importorskip("pyjobshop")
    (race,) = races(instances(Suite.JOB_SHOP, ""), LITTLE)
    assert (race.entries[-1].who, race.entries[-1].faults) == ("PyJobShop", ())


@pytest.mark.parametrize("flows", [True, False])
@pytest.mark.parametrize("seed", range(4))
def test_the_peer_finds_what_is_shortest(seed: int, flows: bool):
    pytest.importorskip("pyjobshop")
    shop = tiny_shop(seed, flows=flows)
    found = peers.by_pyjobshop(shop, seconds=60, workers=1, seed=1)  # it ends when that is proven
    assert found is not None
    _, schedule, bound = found
    assert referee.faults(shop, schedule) == ()
    assert length(schedule) == bound == min(map(length, every_schedule(shop)))


def test_figures_and_table():
    race = Race("la01", "10 jobs", 666, (entry(value=666, bound=666), entry(value=None, who="one")))
    figures = race_json(race)
    assert (figures["best_known"], figures["entries"][0]["over_best"]) == (666, 0.0)
    assert (figures["entries"][0]["proven"], figures["entries"][1]["over_best"]) == (True, None)
    table = races_table([race])
    assert list(table.columns[0].cells) == ["la01", ""]
    assert list(table.columns[4].cells) == ["666", "nothing"]
    assert list(table.columns[7].cells) == ["proven", ""]


def test_no_figure_is_cut_where_names_are_long():
    race = Race("oven " * 20, "500 jobs, 5 families", 0.79257, (entry(value=0.81234, bound=0.7),))
    screen = Console(width=110, file=StringIO())
    screen.print(races_table([race]))
    assert isinstance(screen.file, StringIO)
    text = screen.file.getvalue()
    assert "\u2026" not in text
    assert all(figure in text for figure in ("0.79257", "0.81234", "+2.49 %", "0.70000"))


def test_the_command_races_and_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    for place in (peers, race_suites):
        monkeypatch.setattr(place, "installed", lambda: False)
    (tmp_path / "b.txt").write_text(SHOP)
    given = ["--suite", "jobshop", "--instances", str(tmp_path), "--seconds", "10"]
    path = tmp_path / "race.json"
    result = runner.invoke(app, ["bench", *given, "--workers", "1", "--json", str(path)])
    assert result.exit_code == 0, result.output
    assert "PyJobShop is not installed; pip install 'commonrack[races]'" in result.stdout
    (figures,) = json.loads(path.read_text())
    assert [each["value"] for each in figures["entries"]] == [11, 11, 11]


def test_ctrl_c_keeps_what_is_done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    done = [Race("b", "2 jobs", 666, (entry(value=666, bound=666),))]

    def raced_until_ctrl_c(*_: Any) -> Iterator[Race]:
        yield from done
        raise KeyboardInterrupt

    monkeypatch.setattr(race_suites, "races", raced_until_ctrl_c)
    path = tmp_path / "race.json"
    given = ["bench", "--suite", "ovens", "--json", str(path)]
    result = runner.invoke(app, given)
    assert result.exit_code == 0, result.output
    assert "proven" in result.stdout
    assert [each["instance"] for each in json.loads(path.read_text())] == ["b"]
    path.unlink()
    done.clear()
    assert runner.invoke(app, given).exit_code == 130
    assert not path.exists()


def test_a_fault_ends_with_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "b.txt").write_text(SHOP)
    monkeypatch.setattr(referee, "faults", lambda *_: ("job 0 flies",))
    given = ["--suite", "jobshop", "--instances", str(tmp_path), "--seconds", "10"]
    result = runner.invoke(app, ["bench", *given, "--workers", "1"])
    assert result.exit_code == 1
    assert "b, ours: job 0 flies" in result.stderr


def test_a_race_has_no_work_limit():
    result = runner.invoke(app, ["bench", "--suite", "ovens", "--work", "1"])
    assert result.exit_code == 2
    assert "a race is run by the clock; give --seconds" in result.stderr
