"""One note asks otherwise: its place anew in the posted August, nothing else moved."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any

import pytest

from scheduler.answer.again import Around, Place, stands
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.scenario import load
from scheduler.units import grams
from scheduler.verify import verify
from tests.answer.posted import posted

AUGUST = load("august")
MONDAY = datetime.fromisoformat("2026-08-17T08:05-04:00")
THURSDAY = datetime.fromisoformat("2026-08-20T08:35-04:00")


@cache
def plan() -> Plan:
    return posted(AUGUST)


def asking(note_id: str, **to: Any) -> Asked:
    notes = (replace(each, **to) if each.id == note_id else each for each in AUGUST.notes)
    return replace(AUGUST, notes=tuple(notes))


def around(asked: Asked, loose: Collection[str], now: datetime = MONDAY) -> Around:
    found = Around.of(asked, plan(), loose, now=now)
    assert found
    return found


def places(asked: Asked, note_id: str, now: datetime = MONDAY) -> dict[str, Place]:
    found = {each.kind: each for each in around(asked, {note_id}, now).places(note_id)}
    for each in found.values():
        others_stay(each.plan, note_id)
    return {str(kind): place for kind, place in found.items()}


def others_stay(after: Plan, note_id: str) -> None:
    """Where they were, with the hands they had; the order of racks is free."""

    def rest(of: Plan) -> list[Any]:
        return [
            (run.dryer_id, run.start, run.end, replace(charge, first_rack=1))
            for run, charge in of.charges()
            if charge.note_id != note_id
        ]

    assert sorted(rest(after), key=str) == sorted(rest(plan()), key=str)


def test_a_third_heavier_fits_only_in_part():
    """R02 at 158 kg needs 50 racks; no dryer has them, and no other is free to split into."""
    asked = asking("R02", field_g=grams(158))
    found = places(asked, "R02")
    assert list(found) == ["part"]
    rest = found["part"].rest
    assert rest
    placed = sum(charge.field_g for _, charge in found["part"].charges())
    assert rest.field_g + placed == grams(158)


def test_lighter_stays_where_it_is_on_fewer_racks():
    asked = asking("R19", field_g=grams(35))
    found = places(asked, "R19", THURSDAY)
    assert list(found) == ["same"]
    ((run, charge),) = found["same"].charges()
    ((was, before),) = [each for each in plan().charges() if each[1].note_id == "R19"]
    assert (run.dryer_id, run.start) == (was.dryer_id, was.start)
    assert charge.racks < before.racks


def test_heavier_with_room_beside_may_have_to_start_later():
    found = places(asking("R03", field_g=grams(38.5)), "R03")
    assert "same" not in found
    ((run, _),) = found["other run"].charges()
    assert run.dryer_id == "D2"


def test_a_day_late_has_another_run_and_moves_nobody():
    note, day = AUGUST.note("R09"), timedelta(days=1)
    later = asking("R09", arrives=note.arrives + day, latest_start=note.latest_start + day)
    assert not stands(later, plan(), "R09", now=MONDAY)
    found = places(later, "R09")
    assert "other run" in found
    for place in found.values():
        assert not verify(around(later, {"R09"}).asked, place.plan)


def test_an_hour_late_may_stand_as_it_is():
    ((_run, charge),) = [each for each in plan().charges() if each[1].note_id == "R09"]
    assert charge.preparation
    late = asking("R09", arrives=charge.preparation.wash.start)
    assert stands(late, plan(), "R09", now=MONDAY)
    too_late = asking("R09", arrives=charge.preparation.wash.start + timedelta(minutes=5))
    assert not stands(too_late, plan(), "R09", now=MONDAY)


def test_without_a_place_the_rule_is_told():
    found = around(AUGUST, {"R22"})
    assert found.places("R22") == ()
    assert found.why_not("R22").rule == 5


def test_racks_given_back_have_room_for_who_waits():
    """Without R08 and R19 some of what waits has a place, and nothing else moves."""
    gone = replace(
        AUGUST, notes=tuple(each for each in AUGUST.notes if each.id not in ("R08", "R19"))
    )
    waiting = {each.note_id for each in plan().waiting if each.note_id != "R10"}
    found = around(gone, waiting)
    assert any(found.places(note_id) for note_id in sorted(waiting))


@pytest.mark.parametrize("note_id", ["R04", "R12", "R17"])
def test_as_it_was_it_is_found_where_it_was(note_id: str):
    (found,) = around(AUGUST, {note_id}).places(note_id)
    assert found.kind == "same"
