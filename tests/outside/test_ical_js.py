"""Feeds against ical.js, a second reader that knows no zone but the one in the feed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from api.feeds import STATUS, calendar_of, grower_feed, on_call_feed
from scheduler.domain.asked import Asked
from scheduler.domain.turn import Turn
from scheduler.scenario import load
from scheduler.turns import called_off, nights_of, turns_of, work_of
from tests.autumn import BERLIN, BERLIN_AFTER, NEW_YORK, autumn, by_hand
from tests.needs import lacking

PACKAGE = "ical.js@2.2.1"
SCRIPT = Path(__file__).with_name("read_calendar.cjs")
FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)
HOUR = timedelta(hours=1)

Events = list[dict[str, Any]]
Read = Callable[[bytes], Events]


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Read:
    """ical.js as Node finds it (NODE_PATH), else as npm brings it; skipped without either."""
    node = shutil.which("node")
    if node is None:
        lacking("needs Node: no command called node on this machine")
    environment = dict(os.environ)
    if not _finds(node, environment):
        folder = tmp_path_factory.mktemp("npm")
        environment["NODE_PATH"] = _brought(folder)
    if not _finds(node, environment):
        lacking(f"needs the npm package {PACKAGE}: npm could not bring it, NODE_PATH has none")

    def reading(body: bytes) -> Events:
        done = subprocess.run(
            [node, str(SCRIPT)], input=body, env=environment, capture_output=True, check=False
        )
        assert done.returncode == 0, done.stderr.decode()
        events: Events = json.loads(done.stdout)
        return events

    return reading


def _finds(node: str, environment: dict[str, str]) -> bool:
    asked = [node, "-e", "require.resolve('ical.js')"]
    return subprocess.run(asked, env=environment, capture_output=True, check=False).returncode == 0


def _brought(folder: Path) -> str:
    npm = shutil.which("npm")
    if npm is not None:
        quiet = ["--no-save", "--no-audit", "--no-fund", "--ignore-scripts"]
        command = [npm, "install", *quiet, "--prefix", str(folder), PACKAGE]
        with suppress(subprocess.TimeoutExpired):
            subprocess.run(command, capture_output=True, check=False, timeout=60)
    return str(folder / "node_modules")


def everything(asked: Asked) -> tuple[Turn, ...]:
    """A third of the notes firm, a third pencilled, the turns of a third let go."""
    plan, ids = by_hand(asked), [note.id for note in asked.notes]
    turns = turns_of(asked, plan, at=FRIDAY, firm=ids[::3])
    let_go = set(ids[1::3])
    return (
        *(
            called_off(each, "let go", at=FRIDAY) if each.note_id in let_go else each
            for each in turns
        ),
        *work_of(asked, plan, at=FRIDAY, firm=ids[::3], sequence=3),
        *nights_of(asked, plan, at=FRIDAY, firm=ids[::3], sequence=3),
    )


def told(turns: tuple[Turn, ...]) -> Events:
    return [
        {
            "uid": turn.uid,
            "start": int(turn.start.timestamp()),
            "end": int(turn.end.timestamp()),
            "changed": int(turn.changed_at.timestamp()),
            "status": STATUS[turn.state],
            "sequence": turn.sequence,
            "summary": turn.title if turn.state == "firm" else f"{turn.title} ({turn.state})",
        }
        for turn in sorted(turns, key=lambda each: (each.start, each.uid))
    ]


def test_august_is_read_to_the_same_minutes(read: Read):
    august = load("august")
    turns = everything(august)
    assert read(calendar_of(turns, name="August", zone=august.kitchen.zone)) == told(turns)
    assert {turn.state for turn in turns} == {"firm", "pencilled", "let go"}
    nights = tuple(turn for turn in turns if turn.kind == "on call")
    assert read(on_call_feed(turns, august.kitchen)) == told(nights)
    for grower in august.growers:
        own = tuple(turn for turn in turns if turn.whose == grower.id)
        assert read(grower_feed(turns, grower, august.kitchen)) == told(own)


@pytest.mark.parametrize(("zone", "week"), [NEW_YORK, BERLIN, BERLIN_AFTER], ids=str)
def test_a_week_in_autumn_is_read_to_the_same_minutes(read: Read, zone, week):
    turns = everything(autumn(zone, week))
    assert read(calendar_of(turns, name="Autumn", zone=zone)) == told(turns)
    offsets = {at.astimezone(zone).utcoffset() for turn in turns for at in (turn.start, turn.end)}
    assert len(offsets) == (1 if (zone, week) == BERLIN_AFTER else 2)


@pytest.mark.parametrize(
    ("place", "change"),
    [
        (NEW_YORK, datetime(2026, 11, 1, 6, tzinfo=UTC)),
        (NEW_YORK, datetime(2026, 3, 8, 7, tzinfo=UTC)),
        (BERLIN, datetime(2026, 10, 25, 1, tzinfo=UTC)),
        (BERLIN, datetime(2026, 3, 29, 1, tzinfo=UTC)),
    ],
    ids=str,
)
def test_the_hours_around_a_change_are_told_apart(read: Read, place, change: datetime):
    (first, *_) = everything(load("spring_day"))
    turns = tuple(
        replace(first, uid=f"{minute}", start=start, end=start + HOUR)
        for minute in range(-150, 151, 15)
        for start in [change + timedelta(minutes=minute)]
    )
    assert read(calendar_of(turns, name="Twice", zone=place[0])) == told(turns)
