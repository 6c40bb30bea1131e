"""Laying out on pages: asked for, watched, stopped; its plan beside the whiteboard plan."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from api.records.jobs import Step
from api.services.jobs import SoFar, asked_about, beat, claim, fail, finish
from scheduler.domain.clock import Week
from scheduler.domain.plan import Proof
from scheduler.units import Grams
from tests.answer.posted import posted
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import HOME, KEY, entered, send, words
from web.app import create_site
from web.views.course import BASE, LEFT, RIGHT, TOP, course_of
from web.views.reading import Reading

PAGE = "/lay-out"
SAID = {"week": WEEK, "seconds": "15", "seed": "1"}
FOUND = SoFar(14.2, 1_060_000, 1_100_000, 887_876,
              course=(Step(0.2, 887_876, 1_186_000), Step(13.0, 1_060_000, 1_100_000)))  # fmt: skip


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def asked(lotte: Asking) -> str:
    """The address of a lay-out just asked for."""
    answer = send(lotte, PAGE, SAID)
    assert answer.status_code == 303, words(answer.text)
    return str(answer.headers["location"])


def begun(kitchen: Kitchen, number: int = 1) -> None:
    """A worker is at it and has kept what it found."""
    with kitchen.shelf.working() as jobs:
        job = claim(jobs, "one", at=FRIDAY, lease=timedelta(seconds=20), number=number)
    assert job is not None
    with kitchen.shelf.working() as jobs:
        beat(jobs, job, until=FRIDAY, so_far=FOUND)


def ended(kitchen: Kitchen, number: int = 1) -> None:
    with kitchen.shelf.writing() as book:
        job = book.jobs.find(number)
        assert job is not None
        week = asked_about(book.jobs, job)
        plan = posted(week)
        proof = Proof(plan.worth_g, Grams(plan.worth_g + 100_000), plan.worth_g)
        finish(book, job, week, replace(plan, proof=proof), at=FRIDAY, stopped=False)


def test_it_is_asked_for_and_waits_for_a_worker(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    assert where == f"{PAGE}/1"
    page = words(lotte.get(where).text)
    assert "Lay-out 1 of 2026-W34 Asked for by Lotte Amberry on Fri 14 Aug, 15:05" in page
    assert "it waits for a worker" in page
    with kitchen.shelf.reading() as book:
        job = book.jobs.find(1)
    assert job is not None
    assert (job.seconds, job.seed, job.week) == (15, 1, Week.parse(WEEK))


@pytest.mark.parametrize(
    ("wrong", "field", "fault"),
    [
        ({"seconds": "0"}, "seconds", "must be at least 1"),
        ({"week": "soon"}, "week", "cannot be used"),
        ({"seed": "1.5"}, "seed", "must be a whole number"),
    ],
)
def test_a_fault_stands_at_its_field(lotte: Asking, wrong: dict[str, str], field: str, fault: str):
    answer = send(lotte, PAGE, SAID | wrong)
    assert answer.status_code == 422
    assert f'id="{field}-fault">{fault}' in answer.text


def test_how_far_it_is_is_drawn_and_told(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    begun(kitchen)
    page = lotte.get(where).text
    told = words(page)
    assert "1,060 kg has a place; no plan whatever has one for more than 1,100 kg." in told
    assert "at most left to win: 3.6 % of the bound 40 kg" in told
    assert "against the whiteboard plan + 172 kg" in told
    assert page.count("<polyline") == 2
    assert 'src="/static/live.js"' in page
    assert re.search(r'<a class="button quiet" href="">\s*Look again', page)


def test_the_script_hears_how_far_it_is_alone(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    begun(kitchen)
    alone = lotte.get(f"{where}/progress").text
    assert "<html" not in alone
    assert "data-over" not in alone
    assert 'data-told="1,060 kg has a place' in alone
    ended(kitchen)
    assert "data-over" in lotte.get(f"{where}/progress").text


def test_it_is_stopped_and_stopped_again(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    begun(kitchen)
    stopped = send(lotte, where, {}, form=f"{where}/stop")
    assert (stopped.status_code, stopped.headers["location"]) == (303, where)
    page = lotte.get(where).text
    assert "It stops as soon as the best so far is kept." in page
    assert f'action="{where}/stop"' not in page
    assert lotte.ask("POST", f"{where}/stop", data={}, headers=HOME).status_code == 303
    ended(kitchen)
    assert lotte.ask("POST", f"{where}/stop", data={}, headers=HOME).status_code == 303


def test_one_that_nobody_began_is_stopped_without_a_plan(lotte: Asking):
    where = asked(lotte)
    send(lotte, where, {}, form=f"{where}/stop")
    assert "Stopped before it began." in lotte.get(where).text


def test_its_plan_is_shown_beside_the_whiteboard_plan(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    begun(kitchen)
    ended(kitchen)
    page = lotte.get(where).text
    assert "live.js" not in page
    assert 'href="/plans/1"' in page
    beside = words(lotte.get("/plans/1").text)
    assert "Plan 1 beside the whiteboard plan" in beside
    assert "prepared weight rescued 888 kg 888 kg" in beside
    assert "notes whole 18 18" in beside
    assert "26 notes are in the same place in both." in beside
    assert "Lay-out 1 of 2026-W34" in words(lotte.get(PAGE).text)


def test_what_differs_from_the_whiteboard_plan_is_told_note_by_note(
    lotte: Asking, kitchen: Kitchen
):
    plan = posted(AUGUST)
    run = next(run for run in plan.runs if any(each.note_id == "R02" for each in run.charges))
    number = kitchen.laid_out(replace(plan, runs=tuple(each for each in plan.runs if each != run)))
    page = words(lotte.get(f"/plans/{number}").text)
    assert re.search(r"R02 tomato, Quillet Acre D3 Mon 17 Aug, 15:40", page)
    assert lotte.get("/plans/99").status_code == 404


def test_one_that_failed_says_why(lotte: Asking, kitchen: Kitchen):
    where = asked(lotte)
    with kitchen.shelf.working() as jobs:
        job = claim(jobs, "one", at=FRIDAY, lease=timedelta(seconds=20))
        assert job is not None
        fail(jobs, job, "given up: 5 workers were lost over it", at=FRIDAY)
    page = words(lotte.get(where).text)
    assert "It came to nothing. given up: 5 workers were lost over it" in page
    assert "Lay out again" in page


def test_without_a_plan_the_first_page_leads_to_laying_out(lotte: Asking):
    page = lotte.get("/weeks").text
    assert "No plan yet" in page
    assert 'class="button" href="/lay-out"' in page


def test_there_is_nothing_to_lay_out_without_notes(lotte: Asking, kitchen: Kitchen):
    kitchen.now[0] = FRIDAY.replace(year=2027)
    assert "there is nothing to lay out" in lotte.get(PAGE).text


def test_a_week_that_is_over_is_not_asked_for(lotte: Asking, kitchen: Kitchen):
    number = kitchen.laid_out(posted(AUGUST))
    assert f"/lay-out?week={WEEK}" in lotte.get(f"/plans/{number}").text
    form = lotte.get(PAGE).text
    kitchen.now[0] = FRIDAY + timedelta(days=10)  # the Monday after it
    assert f"/lay-out?week={WEEK}" not in lotte.get(f"/plans/{number}").text
    assert f"{WEEK} is over" in words(lotte.get(f"{PAGE}?week={WEEK}").text)
    assert "is over" not in words(lotte.get(f"{PAGE}?week=2026-W35").text)
    hidden = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form)
    said = dict(hidden) | {"week": WEEK, "seconds": "15", "seed": "1"}
    late = lotte.ask("POST", PAGE, data=said, headers=HOME)  # from a page that was left open
    assert late.status_code == 409
    assert f"{WEEK} is over: nothing can start in it any more; it is 2026-W35 now." in words(
        late.text
    )


@pytest.mark.parametrize("path", [PAGE, f"{PAGE}/1", f"{PAGE}/1/progress"])
@pytest.mark.parametrize("role", ["hand", "grower", "board", "on_call"])
def test_it_is_the_managers_alone(kitchen: Kitchen, role: str, path: str):
    assert entered(kitchen, role).get(path).status_code == 403  # type: ignore[arg-type]


@pytest.mark.parametrize("role", ["hand", "grower", "board", "on_call"])
def test_an_empty_form_from_anybody_else_learns_not_whether_a_note_asks(
    kitchen: Kitchen, role: str
):
    kitchen.now[0] = FRIDAY.replace(year=2027)  # when none does
    asker = entered(kitchen, role)  # type: ignore[arg-type]
    assert asker.ask("POST", PAGE, data={}, headers=HOME).status_code == 403


def test_a_course_is_drawn_to_scale(lotte: Asking, kitchen: Kitchen):
    asked(lotte)
    begun(kitchen)
    with kitchen.shelf.reading() as book:
        job = book.jobs.find(1)
    assert job is not None
    course = course_of(job, Reading())
    assert course is not None
    worth, bound = ([tuple(map(float, each.split(","))) for each in line.split()]
                    for line in (course.worth, course.bound))  # fmt: skip
    assert all(LEFT <= x <= RIGHT and TOP <= y <= BASE for x, y in (*worth, *bound))
    assert bound[0][1] == TOP
    assert worth == sorted(worth, key=lambda each: (each[0], -each[1]))
    assert bound == sorted(bound)
    assert worth[-1][0] == pytest.approx(LEFT + 14.2 / 15 * (RIGHT - LEFT), abs=0.1)
    assert course.rows == (("0.2 s", "888 kg", "1,186 kg"), ("13 s", "1,060 kg", "1,100 kg"))
