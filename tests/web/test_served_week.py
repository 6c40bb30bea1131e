"""A manager runs next week through the API of a served book alone, and growers read theirs."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from typer.testing import CliRunner

from api.settings import DATABASE_URL
from scheduler.domain.clock import Week
from tests.databases import fresh_url
from web.command import app

PASSWORD = "warm racks, cool store"
NEXT = Week.of((datetime.now(UTC) + timedelta(days=7)).date())
HARVESTS = [
    ("G01", "tomato", 40, 0, "08:00"),
    ("G02", "onion", 55, 0, "07:30"),
    ("G03", "kale", 30, 1, "08:00"),
    ("G02", "carrot", 45, 2, "09:00"),
    ("G04", "zucchini", 30, 1, "10:00"),
]


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


@pytest.fixture
def served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of a book with a kitchen and a manager in it."""
    with fresh_url(tmp_path) as url:
        monkeypatch.setenv(DATABASE_URL, url)
        runner = CliRunner(env={"COMMONRACK_PASSWORD": PASSWORD})
        for words in (["take-in", "august"], ["people", "add", "lotte", "Lotte Amberry"]):
            assert runner.invoke(app, words).exit_code == 0
        port = free_port()
        command = [sys.executable, "-m", "web", "serve", "--port", str(port)]
        server = subprocess.Popen(command, env=dict(os.environ), stdout=subprocess.DEVNULL)
        try:
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            server.wait(30)


def until(ask: Any, ready: Any, *, seconds: float = 90) -> Any:
    """Ask until the answer is ready."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            answer = ask()
            if ready(answer):
                return answer
        except httpx.TransportError:
            pass
        time.sleep(0.2)
    raise AssertionError("it never came")


def good(answer: httpx.Response) -> Any:
    assert answer.is_success, answer.text
    return answer.json() if answer.content else None


@pytest.mark.slow
def test_next_week_through_the_api_alone(served: str):
    with (
        httpx.Client(base_url=f"{served}/api/v1", headers={"Origin": served}, timeout=30) as lotte,
        httpx.Client(base_url=served, timeout=30) as telephone,
    ):
        sheets = manager_runs_the_week(lotte, served)
        grower_reads_hers(lotte, telephone, sheets)


def manager_runs_the_week(manager: httpx.Client, served: str) -> list[Any]:
    """From notes to day sheets."""
    until(lambda: manager.get(f"{served}/ready"), lambda answer: answer.is_success)
    good(manager.post("/sessions", json={"login": "lotte", "password": PASSWORD}))
    zone = good(manager.get("/kitchen"))["kitchen"]["zone"]
    assert zone == "America/New_York"
    for grower, card, kg, weekday, clock in HARVESTS:
        day = NEXT.monday + timedelta(days=weekday)
        wanted = {"grower_id": grower, "card_id": card, "field_kg": kg}
        note = good(manager.post("/notes", json=wanted | {"arrives": f"{day}T{clock}:00-05:00"}))
        assert note["answer"]["outcome"] == "would fit"
    posted = laid_out_and_posted(manager)
    assert {turn["grower_id"] for turn in posted["turns"]} == {"G01", "G02", "G03", "G04"}
    assert len(posted["messages"]) == 4
    turns = good(manager.get("/turns", params={"week": str(NEXT)}))
    late = {"grower_id": "G05", "card_id": "tomato", "field_kg": 25}
    monday = f"{NEXT.monday}T07:00:00-05:00"
    good(manager.post("/notes", json=late | {"arrives": monday}))
    again = laid_out_and_posted(manager)
    assert {turn["grower_id"] for turn in again["turns"]} == {"G05"}, "nobody else is moved"
    now = good(manager.get("/turns", params={"week": str(NEXT)}))
    assert [turn for turn in now if turn["grower_id"] != "G05"] == turns
    sheets = [good(manager.get(f"/day-sheets/{day}")) for day in NEXT.days]
    assert [sheet["state"] for sheet in sheets] == ["posted"] * 7
    assert {line["act"] for sheet in sheets for line in sheet["lines"]} >= {"wash", "cut", "pack"}
    return sheets


def laid_out_and_posted(manager: httpx.Client) -> Any:
    asked = good(manager.post("/lay-outs", json={"week": str(NEXT), "seconds": 3}))
    done = until(
        lambda: good(manager.get(f"/lay-outs/{asked['number']}")),
        lambda job: job["state"] in ("done", "failed"),
    )
    assert (done["state"], done["fault"]) == ("done", "")
    return good(manager.post(f"/weeks/{NEXT}/post", json={"plan": done["plan"]}))


def grower_reads_hers(manager: httpx.Client, telephone: httpx.Client, sheets: list[Any]) -> None:
    own = {"login": "ines", "name": "Ines Dunmarrow", "role": "grower", "grower_id": "G03"}
    good(manager.post("/people", json=own))
    link = good(manager.post("/people/ines/invitation"))["link"]
    good(telephone.get(link))
    turns = good(telephone.get("/api/v1/turns", params={"week": str(NEXT)}))
    assert {turn["kind"] for turn in turns} == {"bringing", "packing"}
    assert {turn["grower_id"] for turn in turns} == {"G03"}
    days = [good(telephone.get(f"/api/v1/day-sheets/{sheet['day']}")) for sheet in sheets]
    farms = {each["farm"] for day in days for each in day["in_the_house"]}
    assert farms == {"Dunmarrow Bank"}
