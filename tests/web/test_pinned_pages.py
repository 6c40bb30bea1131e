"""Pinning and forbidding on pages: told first, kept, shown with what became of it, undone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from api.services.asking import asked_of
from api.services.plans import keep
from scheduler.domain.plan import Plan, Unkept
from tests.answer.posted import posted
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen
from tests.shelves import FRIDAY
from tests.site import entered, send, with_posted, words

PAGE = f"/pinned/{WEEK}"
JUDGED = f"{PAGE}/judged"
WEDNESDAY = {"kind": "pin", "note": "R03", "dryer": "any", "when": "2026-08-19"}


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("pinned"), plan) as found:
        yield found


@pytest.fixture(scope="module")
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def judged(lotte: Asking, said: dict[str, str]) -> str:
    answer = send(lotte, PAGE, said, form=JUDGED)
    assert answer.status_code == 200, words(answer.text)
    return answer.text


def undone(lotte: Asking) -> None:
    """All that is wished is undone by the buttons of the page."""
    while f'action="{PAGE}/' in (page := lotte.get(PAGE).text) and "/undo" in page:
        action = page.partition('/undo"')[0].rpartition('action="')[2] + "/undo"
        assert send(lotte, PAGE, {}, form=action).status_code == 303


def test_it_is_told_first_and_kept_when_it_is_sent_again(lotte: Asking):
    told = words(judged(lotte, WEDNESDAY))
    assert "is pinned: Wednesday 19 August" in told
    assert "Nothing is pinned" in words(lotte.get(PAGE).text)
    sent = lotte.post(PAGE, data=WEDNESDAY, headers={"Origin": "http://kitchen"})
    assert sent.status_code == 303
    page = words(lotte.get(PAGE).text)
    assert "is pinned: Wednesday 19 August" in page
    assert "It waits for the next lay-out." in page
    undone(lotte)
    assert "Nothing is pinned" in words(lotte.get(PAGE).text)


def test_a_firm_lot_elsewhere_is_told_with_the_rule(lotte: Asking, plan: Plan):
    run, charge = next(plan.charges())
    start = f"{run.dryer_id} {run.start.isoformat()}"
    said = {"kind": "forbid", "note": charge.note_id, "dryer": "any", "when": start}
    told = words(judged(lotte, said))
    assert "It breaks a rule." in told
    assert "Rule 18 of the kitchen: Firm is firm" in told
    assert "Keep it all the same" in told


def test_some_hours_of_a_dryer_are_left_free(lotte: Asking):
    said = {"kind": "leave free", "note": "none", "dryer": "D1", "when": "2026-08-19",
            "from": "11:00", "to": "15:00"}  # fmt: skip
    told = words(judged(lotte, said))
    assert "Left free: " in told
    assert "Wed 19 Aug, 11:00 to 15:00" in told


def test_left_free_by_a_run_is_its_dryer_until_it_is_out(lotte: Asking, plan: Plan):
    run = next(run for run in plan.runs if run.unload)
    assert run.unload
    start = f"{run.dryer_id} {run.start.isoformat()}"
    told = words(judged(lotte, {"kind": "leave free", "note": "none", "dryer": run.dryer_id,
                                "when": start}))  # fmt: skip
    dryer = AUGUST.kitchen.dryer(run.dryer_id).name
    ends = run.wash_down.end if run.wash_down else run.unload.end
    zone = AUGUST.kitchen.zone
    begins, out = (f"{at.astimezone(zone):%H:%M}" for at in (run.start, ends))
    (title,) = re.findall(rf"Left free: {dryer}, (.*? to .*?\d\d:\d\d)", told)[:1]
    assert (title.count(begins), title[-5:]) == (1, out)


def test_a_run_of_another_dryer_than_the_chosen_one_is_a_fault(lotte: Asking, plan: Plan):
    run, charge = next(plan.charges())
    other = next(each.id for each in AUGUST.kitchen.dryers if each.id != run.dryer_id)
    start = f"{run.dryer_id} {run.start.isoformat()}"
    for kind in ("pin", "forbid", "leave free"):
        said = {"kind": kind, "note": charge.note_id, "dryer": other, "when": start}
        answer = send(lotte, PAGE, said, form=JUDGED)
        assert answer.status_code == 422
        assert f"that run is in {run.dryer_id}" in words(answer.text)
    said = {"kind": "pin", "note": charge.note_id, "dryer": "any", "when": start, "from": "11:00"}
    answer = send(lotte, PAGE, said, form=JUDGED)
    assert (answer.status_code, "must be a day where hours" in words(answer.text)) == (422, True)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (WEDNESDAY | {"note": ""}, "must be filled in"),
        (WEDNESDAY | {"note": "none"}, "must be chosen"),
        (WEDNESDAY | {"when": "any"}, "which dryer, or when?"),
        (WEDNESDAY | {"kind": "leave free"}, "which dryer, from when to when?"),
        (WEDNESDAY | {"when": "2026-13-99"}, "cannot be used"),
        (
            WEDNESDAY | {"when": "2026-08-19", "from": "15:00", "to": "11:00"},
            "later than the start",
        ),
        (WEDNESDAY | {"dryer": "D1", "when": "any", "to": "11:00"}, "must be a day where hours"),
        (WEDNESDAY | {"when": "D1 2026-08-19T09:00:00+00:00"}, "has no such run"),
        (WEDNESDAY | {"note": "X9"}, "no note X9 asks for a place"),
    ],
)
def test_what_is_wrong_is_told_at_its_field(lotte: Asking, said: dict[str, str], told: str):
    answer = send(lotte, PAGE, said, form=JUDGED)
    assert answer.status_code == 422
    assert told in words(answer.text)


def test_the_plan_laid_out_with_it_tells_whether_it_keeps_it(kitchen: Kitchen, lotte: Asking):
    said = WEDNESDAY | {"note": "R04"}
    for each in (WEDNESDAY, said):
        sent = lotte.post(PAGE, data=each, headers={"Origin": "http://kitchen"})
        assert sent.status_code == 303
    with kitchen.shelf.writing() as book:
        asked = asked_of(book, AUGUST.week, now=FRIDAY)
        first, second = (wish.number for wish in asked.wishes)
        made = replace(posted(asked), unkept=(Unkept(second, 5, "Every dryer is full."),))
        kept = keep(book.plans, asked, made, laid_out_at=FRIDAY)
    assert first != second
    for path in (PAGE, f"/plans/{kept}"):
        page = words(lotte.get(path).text)
        assert f"Plan {kept} keeps it." in page
        assert f"Plan {kept} does not keep it. Every dryer is full." in page
        assert "Rule 5 of the kitchen: Racks" in page
    undone(lotte)


def test_a_hand_reads_it_and_changes_nothing(kitchen: Kitchen):
    sal = entered(kitchen, "hand")
    page = sal.get(PAGE).text
    assert "Nothing is pinned" in words(page)
    assert JUDGED not in page
    refused = sal.post(PAGE, data=WEDNESDAY, headers={"Origin": "http://kitchen"})
    assert refused.status_code == 403
