"""demo keeps what it prints, serve shows it, and neither loads what it does not need."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from importlib.metadata import entry_points
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from typer.testing import CliRunner

from api.store import open_shelf
from scheduler.answer.bills import bills
from scheduler.scenario import load
from scheduler.wording import money
from tests.fake_planning import FakePlanner
from tests.worked_day import worked_day
from web.command import app

runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})


@pytest.fixture
def database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    url = f"sqlite:///{tmp_path / 'plans.sqlite'}"
    monkeypatch.setenv("COMMONRACK_DATABASE_URL", url)
    return url


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> FakePlanner:
    fake = FakePlanner(make=worked_day)
    monkeypatch.setitem(sys.modules, "scheduler.planning", fake.module())
    return fake


def test_demo_prints_the_week_and_tuesday_and_keeps_the_plan(
    planner: FakePlanner, database: str, tmp_path: Path
):
    result = runner.invoke(app, ["demo"])
    assert result.exit_code == 0, result.output
    for words in (
        "Week on the racks",
        "Rack use",
        "Day sheet: Tuesday 18 August",
        str(tmp_path / "plans.sqlite"),
        "commonrack serve",
    ):
        assert words in result.output
    shelf = open_shelf(database)
    with shelf.reading() as book:
        kept = book.plans.newest()
    shelf.close()
    assert kept is not None
    assert kept.asked.name == "august"
    assert kept.plan == worked_day(kept.asked)


def test_the_demos_fees_are_told_by_grower_and_line_by_line(planner: FakePlanner, database: str):
    printed = runner.invoke(app, ["demo"]).output
    assert "commonrack fees 2026-W34" in printed
    asked = load("august")
    for bill in bills(asked, worked_day(asked)):
        fees = money(bill.fees, asked.kitchen.currency)
        assert f"{bill.grower.id} {bill.grower.farm}" in printed
        assert fees in printed
    lines = runner.invoke(app, ["fees", "2026-W34"])
    assert lines.exit_code == 0, lines.output
    (tomato,) = (each for one in bills(asked, worked_day(asked)) for each in one.lots
                 if each.note.id == "R09")  # fmt: skip
    told = lines.output[lines.output.index("R09 tomato") :]
    assert told.startswith("R09 tomato, 125 kg: arrives Tue 18 08:00, at work ")
    for line in tomato.price.lines:
        assert money(line.amount, "USD") in told


def test_demo_lays_out_august_for_fifteen_seconds(planner: FakePlanner, database: str):
    runner.invoke(app, ["demo"])
    ((name, rules, limits),) = planner.asked
    assert (name, rules, limits.seconds) == ("august", "full", 15)


def serving(port: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "web", "serve", "--no-worker", "--port", str(port)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        text=True,
    )


def body_at(address: str) -> str:
    for _ in range(200):
        try:
            with urlopen(address, timeout=5) as answer:
                return str(answer.read().decode())
        except URLError:
            time.sleep(0.05)
    raise AssertionError(f"nobody answers at {address}")


def test_serve_takes_the_next_port_if_one_is_in_use(database: str):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        server = serving(port)
        try:
            assert server.stdout is not None
            told = [server.stdout.readline() for _ in range(2)]
            own = int(told[1].split("127.0.0.1:")[1].split()[0])
            page = body_at(f"http://127.0.0.1:{own}/")
        finally:
            server.terminate()
            server.wait(20)
            assert server.stdout is not None
            server.stdout.close()
    assert told[0].startswith(f"commonrack: port {port} is in use; taking {own} instead")
    assert port < own < port + 20
    assert "No plan yet" in page


def test_serving_never_loads_the_solver():
    program = "import sys, web.command\nassert 'ortools' not in sys.modules, 'loaded'\n"
    subprocess.run([sys.executable, "-c", program], check=True)


def test_what_a_climber_loads_of_the_console_script_is_next_to_nothing():
    """Each loads it again before it begins, and a short lay-out or mend would wait for that."""
    (script,) = entry_points(group="console_scripts", name="commonrack")
    program = (
        f"import sys, {script.module}\n"
        "loaded = {name.split('.')[0] for name in sys.modules}\n"
        "assert not loaded & {'scheduler', 'api', 'fastapi', 'sqlalchemy', 'typer'}, loaded\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_help_names_every_command():
    result = runner.invoke(app, ["--help"])
    for command in ("lay-out", "check", "sheet", "demo", "serve"):
        assert command in result.stdout
