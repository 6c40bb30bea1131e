"""A week as it is supposed to be: one thing otherwise; what is not of that week refused."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from scheduler.domain.clock import Span
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.outage import Happened, Outage
from scheduler.domain.supposition import KINDS, Supposition, SuppositionKind
from scheduler.errors import BadInput
from scheduler.replay.supposed_week import supposed_week
from scheduler.scenario import load
from scheduler.units import Grams

AUGUST = load("august")
MONDAY = datetime.fromisoformat("2026-08-17T12:00-04:00")
HOUR = timedelta(hours=1)
STOP = Span(MONDAY, MONDAY + 30 * HOUR)
NOTE = AUGUST.notes[3]
MORE: dict[SuppositionKind, Callable[[Kitchen], int]] = {
    "dryer": lambda kitchen: len(kitchen.dryers),
    "steamer": lambda kitchen: len(kitchen.steamers),
    "table": lambda kitchen: len(kitchen.tables),
    "hand": lambda kitchen: len(kitchen.hands),
}


@pytest.mark.parametrize("kind", MORE)
def test_one_more_is_one_more_and_leaves_the_notes(kind: SuppositionKind):
    made = supposed_week(AUGUST, Supposition(kind))
    assert MORE[kind](made.kitchen) == MORE[kind](AUGUST.kitchen) + 1
    assert len(made.kitchen.station_ids) == len(AUGUST.kitchen.station_ids) + (kind != "hand")
    assert len({each.name for each in made.kitchen.hands}) == len(made.kitchen.hands)
    assert replace(made, kitchen=AUGUST.kitchen) == AUGUST


@pytest.mark.parametrize("kind", ["order", "keeping"])
def test_another_order_has_the_same_notes(kind: SuppositionKind):
    turned = replace(AUGUST, notes=AUGUST.notes[::-1])
    made = supposed_week(turned, Supposition(kind))
    assert set(made.notes) == set(turned.notes)
    key = (lambda note: note.id) if kind == "order" else (lambda note: note.latest_start)
    assert [key(each) for each in made.notes] == sorted(key(each) for each in turned.notes)


def test_a_note_on_another_day_keeps_as_long_from_then():
    arrives = NOTE.arrives + 24 * HOUR
    made = supposed_week(AUGUST, Supposition("note", NOTE.id, arrives=arrives))
    changed = made.note(NOTE.id)
    assert (changed.arrives, changed.latest_start) == (arrives, NOTE.latest_start + 24 * HOUR)
    assert [each for each in made.notes if each.id != NOTE.id] == [
        each for each in AUGUST.notes if each.id != NOTE.id
    ]


def test_of_a_note_only_what_is_told_is_otherwise():
    weight = supposed_week(AUGUST, Supposition("note", NOTE.id, Grams(5_000))).note(NOTE.id)
    assert weight == replace(NOTE, field_g=Grams(5_000))
    later = NOTE.latest_start + 12 * HOUR
    waits = supposed_week(AUGUST, Supposition("note", NOTE.id, latest_start=later)).note(NOTE.id)
    assert waits == replace(NOTE, latest_start=later)


def test_a_dryer_down_is_a_stop_to_come():
    made = supposed_week(AUGUST, Supposition("down", dryer_id="D1", span=STOP))
    (stop,) = made.happened.outages
    assert stop == Outage("D1", STOP.start, STOP.end, stop.cause)
    assert replace(made, happened=AUGUST.happened) == AUGUST


@pytest.mark.parametrize(
    ("what", "told"),
    [
        (Supposition("note", "R99"), "no note R99"),
        (Supposition("note", NOTE.id), "at least one that is otherwise"),
        (Supposition("note", NOTE.id, arrives=NOTE.arrives + 240 * HOUR), "is not in 2026-W34"),
        (Supposition("note", NOTE.id, latest_start=NOTE.arrives - HOUR), "before it arrives"),
        (Supposition("down", dryer_id="D9", span=STOP), "no dryer D9"),
        (Supposition("down", dryer_id="D1"), "from when to when"),
        (
            Supposition("down", dryer_id="D1", span=Span(MONDAY - 240 * HOUR, MONDAY - 200 * HOUR)),
            "is not in 2026-W34",
        ),
    ],
)
def test_what_is_not_of_that_week_is_refused(what: Supposition, told: str):
    with pytest.raises(BadInput, match=told):
        supposed_week(AUGUST, what)


def test_what_has_happened_is_not_supposed():
    """A stop that has begun is an emergency, not a supposition; one an hour later is one."""
    begun = replace(AUGUST, happened=Happened(now=STOP.start + HOUR))
    with pytest.raises(BadInput, match="is over"):
        supposed_week(begun, Supposition("down", dryer_id="D1", span=STOP))
    later = replace(AUGUST, happened=Happened(now=STOP.start))
    assert supposed_week(later, Supposition("down", dryer_id="D1", span=STOP)).happened.outages


def test_a_kitchen_without_steamers_has_none_to_be_like():
    bare = replace(AUGUST, kitchen=replace(AUGUST.kitchen, steamers=()))
    with pytest.raises(BadInput, match="no steamer"):
        supposed_week(bare, Supposition("steamer"))


@pytest.mark.parametrize("kind", [each for each in KINDS if each not in ("note", "down", "order")])
def test_every_kind_changes_something(kind: SuppositionKind):
    assert supposed_week(AUGUST, Supposition(kind)) != AUGUST
