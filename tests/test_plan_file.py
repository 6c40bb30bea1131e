"""Plan files: round trip, the schema that describes them, and what a bad one is told."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import (
    GROWER,
    HANDS,
    AfterDryer,
    Charge,
    Duty,
    Plan,
    Preparation,
    Proof,
    Run,
    SteamLoad,
    TablePlace,
    Waiting,
)
from scheduler.errors import BadInput
from scheduler.plan_file import (
    asked_from_json,
    asked_to_json,
    file_from_json,
    plan_from_json,
    plan_schema,
    plan_to_json,
    read_plan,
    write_plan,
)
from scheduler.scenario import load
from scheduler.units import Grams, Racks

load_once = cache(load)
AUGUST = load_once("august")

# Strategies for any plan of the August week; names must be known, sense is the verifier's business.
moments = st.datetimes(
    min_value=datetime(2026, 8, 16),  # noqa: DTZ001  Hypothesis adds the zone
    max_value=datetime(2026, 8, 26),  # noqa: DTZ001
    timezones=st.just(UTC),
).map(lambda moment: moment.replace(microsecond=0))
spans = st.tuples(moments, moments).map(lambda pair: Span(min(pair), max(pair)))
counts = st.integers(min_value=0, max_value=10**6)
words = st.text(max_size=12)


def known(things: Any) -> st.SearchStrategy[str]:
    return st.sampled_from([each.id for each in things])


kitchen = AUGUST.kitchen
notes = known(AUGUST.notes)
people = st.sampled_from([each.id for each in AUGUST.growers] + [h.name for h in kitchen.hands])
tables = st.builds(TablePlace, known(kitchen.tables), st.sampled_from((GROWER, HANDS)))
loads = st.builds(
    SteamLoad,
    known(kitchen.steamers),
    known(kitchen.chill_tubs),
    moments,
    moments,
    moments,
    moments,
    counts,
)
preparations = st.builds(
    Preparation,
    known(kitchen.wash_lines),
    spans,
    spans,
    st.lists(tables, max_size=2).map(tuple),
    st.lists(loads, max_size=2).map(tuple),
    moments,
)
afters = st.builds(AfterDryer, spans, known(kitchen.benches), spans, counts)
charges = st.builds(
    Charge,
    notes,
    st.sampled_from(("", "A", "B")),
    counts,
    counts,
    counts,
    counts,
    st.none() | preparations,
    st.none() | afters,
)
runs = st.builds(
    Run,
    words,
    known(kitchen.dryers),
    st.floats(min_value=30, max_value=70),
    moments,
    moments,
    moments,
    st.none() | spans,
    st.none() | spans,
    st.lists(charges, max_size=2).map(tuple),
)
duties = st.builds(
    Duty, people, st.sampled_from(("cut", "steam", "dry check")), words, words, spans
)
waits = st.builds(Waiting, notes, counts, counts, st.none() | counts, words, words, st.booleans())
plans = st.builds(
    Plan,
    st.just(AUGUST.week),
    words,
    st.lists(runs, max_size=2).map(tuple),
    st.lists(duties, max_size=2).map(tuple),
    st.lists(waits, max_size=2).map(tuple),
    st.none() | st.builds(Proof, counts, counts, counts),
    st.none() | counts,
    st.none() | st.floats(min_value=0, max_value=1e6),
)


@settings(deadline=None)
@given(plans)
def test_every_plan_comes_back_the_same(plan: Plan):
    text = json.dumps(plan_to_json(plan, AUGUST))
    back = file_from_json(json.loads(text))
    assert back.plan == plan
    assert back.asked == AUGUST
    assert all(run.start.tzinfo is UTC for run in back.plan.runs)


@pytest.mark.parametrize("name", ["august", "dryer_down", "glut", "spring_day"])
def test_what_was_asked_comes_back_the_same(name):
    asked = load_once(name)
    assert asked_from_json(json.loads(json.dumps(asked_to_json(asked)))) == asked


def one_run(asked: Asked) -> Plan:
    start = datetime(2026, 8, 17, 15, tzinfo=UTC)
    hours = [
        Span(start + timedelta(hours=each), start + timedelta(hours=each + 1)) for each in range(4)
    ]
    load_of_corn = SteamLoad(
        "S1", "C1", start, start + timedelta(minutes=3), start, start, AUGUST.notes[5].field_g
    )
    work = Preparation(
        "W1", hours[0], hours[1], (TablePlace("T2", GROWER),), (load_of_corn,), start
    )
    after = AfterDryer(hours[2], "P1", hours[3], 107)
    charge = Charge("R06", "", Racks(18), 1, Grams(110_000), Grams(41_800), work, after)
    run = Run("D1-1", "D1", 60.0, start, start + timedelta(hours=9), start, None, None, (charge,))
    duty = Duty("Jun Ferrow", "steam", "S1", "R06", hours[0])
    waiting = Waiting("R01", Grams(1), Grams(1))
    return Plan(asked.week, "full", (run,), (duty,), (waiting,), seed=7, work=2.5)


def test_it_says_what_is_needed_to_lay_it_out_again():
    written = plan_to_json(one_run(AUGUST), AUGUST)
    assert (written["format"], written["version"]) == ("commonrack-plan", 1)
    assert written["scenario"] == "august"
    assert (written["plan"]["rules"], written["plan"]["seed"], written["plan"]["work"]) == (
        "full",
        7,
        2.5,
    )


def test_times_bear_the_kitchen_s_offset_and_weights_are_grams():
    run = plan_to_json(one_run(AUGUST), AUGUST)["plan"]["runs"][0]
    assert run["start"] == "2026-08-17T11:00:00-04:00"
    assert run["charges"][0]["field_g"] == 110_000


def test_times_may_bear_any_offset():
    given_ = plan_to_json(one_run(AUGUST), AUGUST)
    given_["plan"]["runs"][0]["start"] = "2026-08-17T15:00:00Z"
    assert plan_from_json(given_) == one_run(AUGUST)


def test_a_file_is_written_whole_and_read_back(tmp_path):
    write_plan(tmp_path / "week.json", one_run(AUGUST), AUGUST)
    assert [each.name for each in tmp_path.iterdir()] == ["week.json"]
    back = read_plan(tmp_path / "week.json")
    assert (back.plan, back.asked) == (one_run(AUGUST), AUGUST)


def test_a_failed_writing_leaves_the_old_file(tmp_path):
    path = tmp_path / "week.json"
    write_plan(path, one_run(AUGUST), AUGUST)
    before = path.read_text(encoding="utf-8")
    broken = replace(one_run(AUGUST), work=object())  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        write_plan(path, broken, AUGUST)
    assert path.read_text(encoding="utf-8") == before


# What is spoilt, under which path, and what is said.
Steps = list[str | int]
SPOILT: list[tuple[Steps, object, str]] = [
    (["format"], "calendar", "format: must be one of 'commonrack-plan'; found 'calendar'"),
    (["version"], 2, "version: must be one of 1; found '2'"),
    (["plan", "runs", 0, "start"], "soon", "plan.runs[0].start: "),
    (["plan", "runs", 0, "start"], 1_787_000_000, "plan.runs[0].start: must be a date and time"),
    (
        ["plan", "runs", 0, "start"],
        "2026-08-17T11:00:00",
        "plan.runs[0].start: has no offset; end it in Z or +hh:mm",
    ),
    (["plan", "runs", 0, "set_point_c"], "60", "plan.runs[0].set_point_c: must be a number"),
    (
        ["plan", "runs", 0, "charges", 0, "racks"],
        1.5,
        "plan.runs[0].charges[0].racks: must be a whole",
    ),
    (
        ["plan", "runs", 0, "charges", 0, "racks"],
        True,
        "plan.runs[0].charges[0].racks: must be a whole",
    ),
    (["plan", "runs", 0, "speed"], 1, "plan.runs[0].speed: is not known here"),
    (["plan", "runs", 0, "dryer_id"], "D9", "plan.runs[0].dryer_id: nothing is called 'D9' here"),
    (
        ["plan", "runs", 0, "charges", 0, "preparation", "cut", "end"],
        "2026-08-17T01:00:00-04:00",
        "plan.runs[0].charges[0].preparation.cut: ends before it starts",
    ),
    (
        ["plan", "runs", 0, "charges", 0, "preparation", "steam_loads", 0, "tub_id"],
        "S1",
        "plan.runs[0].charges[0].preparation.steam_loads[0].tub_id: nothing is called 'S1' here",
    ),
    (["plan", "duties", 0, "work"], "rest", "plan.duties[0].work: must be one of"),
    (["plan", "duties", 0, "who"], "Nobody", "plan.duties[0].who: nothing is called 'Nobody' here"),
    (["plan", "waiting", 0, "note_id"], "R99", "plan.waiting[0].note_id: nothing is called 'R99'"),
    (["scenario"], "glut", "scenario: is not the name under asked"),
    (["asked", "kitchen", "zone"], "Nowhere/Town", "asked.kitchen.zone: "),
    (
        ["asked", "notes", 3, "grower_id"],
        "G99",
        "asked.notes[3].grower_id: nothing is called 'G99'",
    ),
    (["asked", "notes", 3, "card_id"], "kelp", "asked.notes[3].card_id: nothing is called 'kelp'"),
    (["asked", "cards", 0, "group"], "salty", "asked.cards[0].group: nothing is called 'salty'"),
    (["asked", "happened"], None, "asked.happened: "),
]


def said(read: Callable[[], object]) -> list[str]:
    with pytest.raises(BadInput) as raised:
        read()
    return [str(fault) for fault in raised.value.faults]


@pytest.mark.parametrize(("steps", "value", "message"), SPOILT)
def test_a_bad_file_names_the_path_inside(tmp_path, steps, value, message):
    path = tmp_path / "week.json"
    spoilt = deepcopy(plan_to_json(one_run(AUGUST), AUGUST))
    inner: Any = spoilt
    for step in steps[:-1]:
        inner = inner[step]
    inner[steps[-1]] = value
    path.write_text(json.dumps(spoilt), encoding="utf-8")
    found = said(lambda: read_plan(path))
    assert found[0].startswith(f"week.json, {message}"), found


def test_a_missing_field():
    spoilt = plan_to_json(one_run(AUGUST), AUGUST)
    del spoilt["plan"]["runs"][0]["start"]
    del spoilt["asked"]["kitchen"]["zone"]
    assert said(lambda: plan_from_json(spoilt, "week.json")) == [
        "week.json, asked.kitchen.zone: is missing",
        "week.json, plan.runs[0].start: is missing",
    ]


def test_what_was_asked_is_checked_alone_too():
    spoilt = asked_to_json(AUGUST)
    spoilt["notes"][0]["grower_id"] = "G99"
    found = said(lambda: asked_from_json(spoilt, "asked.json"))
    assert found == ["asked.json, asked.notes[0].grower_id: nothing is called 'G99' here"]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (None, "week.json: the file is missing"),
        (b"", "week.json: is not JSON: "),
        (b"{", "week.json: is not JSON: "),
        (b"\xff\xff", "week.json: is not UTF-8 text"),
        (b"[]", "week.json: "),
    ],
)
def test_no_plan_file_at_all(tmp_path, content, message):
    path = tmp_path / "week.json"
    if content is not None:
        path.write_bytes(content)
    found = said(lambda: read_plan(path))
    assert len(found) == 1
    assert found[0].startswith(message)


def test_the_schema_tells_every_field():
    schema = plan_schema()
    untold = [
        f"{kind}.{field}"
        for kind, definition in [("file", schema), *schema["$defs"].items()]
        for field, shape in definition["properties"].items()
        if not shape.get("description")
    ]
    assert untold == []
    assert schema["title"] == "Commonrack plan file"


def test_the_schema_names_exactly_what_is_written():
    schema = plan_schema()
    run = plan_to_json(one_run(AUGUST), AUGUST)["plan"]["runs"][0]
    assert set(schema["$defs"]["Run"]["properties"]) == set(run)
    assert schema["$defs"]["Run"]["additionalProperties"] is False
