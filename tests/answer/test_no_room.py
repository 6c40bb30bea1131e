"""Twins: a note without room and the rule that says so, and the least change that gives it room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from scheduler.answer import Answer, NoRoom, answered
from scheduler.domain.asked import Asked
from tests.answer.posted import posted, without
from tests.builders import WEEK, at, card, dryer, note
from tests.explain import weeks
from tests.explain.weeks import place, week, with_kitchen, with_note


def told(asked: Asked, note_id: str) -> Answer | NoRoom:
    """The answer for one note beside a plan of all others."""
    others = without(asked, note_id)
    return answered(others, posted(others), asked.note(note_id))


def _keeps_too_short() -> Asked:
    """60 kg take half an hour to wash and 36 minutes to cut at two tables."""
    soon = note("N2", "G2", "tomato", 60_000, latest_start=at("Mon 08:10"), may_split=False)
    return week(place(), soon)


def _keeps_till_noon(asked: Asked) -> Asked:
    return with_note(asked, "N2", latest_start=at("Mon 12:00"))


def _closed() -> Asked:
    closures = (WEEK.monday,)
    return week(
        place(closures=closures), note("N2", "G2", "tomato", 9000, latest_start=at("Mon 20:00"))
    )


def _open(asked: Asked) -> Asked:
    return with_kitchen(asked, closures=())


def _after_the_last_closing() -> Asked:
    late = note("N2", "G2", "tomato", 9000, arrives=at("Sat 14:00"), latest_start=at("Sun 20:00"))
    return week(place(), late)


def _earlier(asked: Asked) -> Asked:
    return with_note(asked, "N2", arrives=at("Thu 14:00"))


def _another_set_point() -> Asked:
    """N1 dries at 57 C; N2 tolerates 56 at most, and D1 is the only dryer before noon."""
    cooler = card("cooler", set_point_c=54.0, tolerance_c=2.0)
    asked = week(
        place(),
        note("N1", "G1", "tomato", 30_000, arrives=at("Mon 09:00"), latest_start=at("Mon 11:00")),
        note("N2", "G2", "cooler", 30_000, latest_start=at("Mon 12:00")),
    )
    return replace(asked, cards=(*asked.cards, cooler))


def _tolerates_more(asked: Asked) -> Asked:
    cards = tuple(replace(each, tolerance_c=3.0) for each in asked.cards)
    return replace(asked, cards=cards)


def _second_dryer(asked: Asked) -> Asked:
    return with_kitchen(asked, dryers=(dryer("D1"), dryer("D2")))


@pytest.mark.parametrize(
    ("made", "rule", "reason", "eased"),
    [
        pytest.param(
            weeks.full_dryer,
            5,
            "No dryer that takes it (Cabinet D1) has enough racks free for long enough until its "
            "latest start, Mon 17 Aug 18:00 (rule 5).",
            _second_dryer,
            id="full dryers",
        ),
        pytest.param(
            _keeps_too_short,
            4,
            "Even in an empty kitchen it cannot be ready for a run between its arrival, "
            "Mon 17 Aug 07:00, and its latest start, Mon 17 Aug 08:10 (rule 4).",
            _keeps_till_noon,
            id="keeps too short",
        ),
        pytest.param(
            _closed,
            2,
            "The kitchen is not staffed between its arrival, Mon 17 Aug 07:00, and its latest "
            "start, Mon 17 Aug 20:00 (rule 2).",
            _open,
            id="closed",
        ),
        pytest.param(
            _after_the_last_closing,
            2,
            "No staffed hours of the week are left after Sat 22 Aug 14:00 (rule 2).",
            _earlier,
            id="after the last closing",
        ),
        pytest.param(
            _another_set_point,
            18,
            "It would fit only if something that is posted were moved (rule 18).",
            _tolerates_more,
            id="another set point",
        ),
    ],
)
def test_no_room_and_room(
    made: Callable[[], Asked], rule: int, reason: str, eased: Callable[[Asked], Asked]
):
    asked = made()
    found = told(asked, "N2")
    assert isinstance(found, NoRoom)
    assert (found.rule, found.reason) == (rule, reason)
    assert found.waiting.note_id == "N2"
    assert (found.waiting.rule, found.waiting.reason) == (rule, reason)
    assert found.waiting.field_g == asked.note("N2").field_g
    assert isinstance(told(eased(asked), "N2"), Answer)


def test_the_same_note_always_has_the_same_reason():
    assert told(weeks.one_table(), "N2") == told(weeks.one_table(), "N2")
