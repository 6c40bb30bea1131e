"""What becomes of the turns that people know when a new plan is posted."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.turn import Turn, TurnKind
from scheduler.scenario import load
from scheduler.turns import called_off, moved, turns_of
from tests.autumn import by_hand
from tests.builders import at

FRIDAY = datetime(2026, 8, 14, 19, 5, tzinfo=UTC)
MONDAY, TUESDAY_NOON = at("Mon 12:00"), at("Tue 12:00")
LATER = timedelta(hours=1)


def turn(name: str = "R1", *, start: datetime = TUESDAY_NOON, kind: TurnKind = "bringing") -> Turn:
    return Turn(
        uid=f"2026-W34/{name}//{kind}@small",
        kind=kind,
        whose="G1",
        note_id=name,
        subject=name,
        start=start,
        end=start + LATER,
        state="firm",
        title="",
        place="",
        facts=(),
        changed_at=FRIDAY,
    )


def test_what_stays_the_same_is_not_touched():
    known = replace(turn(), sequence=4)
    assert moved([known], [replace(turn(), changed_at=MONDAY)], at=MONDAY) == (known,)


@pytest.mark.parametrize(
    "change",
    [
        {"start": TUESDAY_NOON - LATER},
        {"end": TUESDAY_NOON + 2 * LATER},
        {"state": "pencilled"},
        {"facts": ("38 racks",)},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_changes_raises_its_sequence_by_one(change):
    (found,) = moved([replace(turn(), sequence=4)], [replace(turn(), **change)], at=MONDAY)
    assert found == replace(turn(), **change, sequence=5, changed_at=MONDAY)


def test_what_is_new_begins_at_nought():
    (found,) = moved([], [turn()], at=MONDAY)
    assert found == replace(turn(), changed_at=MONDAY)


def test_what_is_gone_is_stood_down_or_was_let_go():
    known = [turn("R1"), turn("R2", start=TUESDAY_NOON + LATER)]
    kitchens, growers = moved(known, [], at=MONDAY, let_go={"R2"})
    assert (kitchens.state, growers.state) == ("stood down", "let go")
    assert [each.sequence for each in (kitchens, growers)] == [1, 1]
    assert kitchens.changed_at == MONDAY


def test_what_was_called_off_stays_so_and_may_come_back():
    off = called_off(turn(), "let go", at=FRIDAY)
    assert moved([off], [], at=MONDAY) == (off,)
    (back,) = moved([off], [turn()], at=MONDAY)
    assert (back.state, back.sequence) == ("firm", 2)


def test_what_has_begun_is_kept():
    begun = turn(start=MONDAY - LATER)
    assert moved([begun], [], at=MONDAY) == (begun,)


def test_the_packing_turn_of_a_charge_in_a_started_run_is_kept():
    """R1 is in a dryer; R2 was brought, but its run never started; R3 has not come yet."""
    known = [
        *(turn(name, start=MONDAY - LATER) for name in ("R1", "R2")),
        *(turn(name, kind="packing") for name in ("R1", "R2", "R3")),
    ]
    found = moved(known, [], at=MONDAY, started={"R1", "R3"})
    packing = {each.note_id: each.state for each in found if each.kind == "packing"}
    assert packing == {"R1": "firm", "R2": "stood down", "R3": "stood down"}


PLANS = st.lists(
    st.builds(
        lambda name, hours: turn(name, start=TUESDAY_NOON + hours * LATER),
        st.sampled_from(["R1", "R2", "R3"]),
        st.integers(-40, 3),
    ),
    unique_by=lambda each: each.uid,
)


@settings(deadline=None)
@given(st.lists(PLANS, min_size=1, max_size=5))
def test_no_uid_is_lost_no_sequence_falls_and_every_change_shows(plans: list[list[Turn]]) -> None:
    known: tuple[Turn, ...] = ()
    for number, plan in enumerate(plans):
        instant = MONDAY + number * LATER
        before = {each.uid: each for each in known}
        known = moved(known, plan, at=instant)
        after = {each.uid: each for each in known}
        assert after.keys() >= before.keys()
        assert {each.uid: each.start for each in plan}.items() <= {
            each.uid: each.start for each in known if each.stands
        }.items()
        for uid, old in before.items():
            same = after[uid] == old
            assert after[uid].sequence == old.sequence + (0 if same else 1)
        assert moved(known, plan, at=instant) == known


def test_a_mended_plan_keeps_the_uids_of_lots_that_keep_their_letters():
    august = load("august")
    fewer = replace(august, notes=august.notes[:-6])
    known = turns_of(august, by_hand(august), at=FRIDAY)
    found = moved(known, turns_of(fewer, by_hand(fewer), at=MONDAY), at=august.staffed()[0].start)
    assert {each.uid for each in found} >= {each.uid for each in known}
    gone = {note.id for note in august.notes[-6:]} & {each.note_id for each in known}
    assert gone
    assert {each.state for each in found if each.note_id in gone} == {"stood down"}
