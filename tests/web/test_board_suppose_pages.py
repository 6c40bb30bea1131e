"""The board supposes something of a season: asked on its page, tried, read in the paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from threading import Event
from typing import Any

import pytest

from api import worker as worker_module
from api.worker import Way, Worker
from scheduler.domain.plan import Plan
from scheduler.replay.suppose import Tries, suppose
from scheduler.units import Seconds
from tests.asking import Asking
from tests.served import Kitchen
from tests.shelves import FRIDAY
from tests.site import entered, send, with_posted, words

PAPER = "/board/season/2026"
ASK = f"{PAPER}/suppose"
WAY = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("board"), plan) as found:
        yield found


@pytest.fixture(scope="module")
def bea(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "board")


@pytest.fixture(autouse=True)
def few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """A hundred steps a week are for seasons, not for tests."""

    def quickly(season: Any, changes: Any, tries: Tries, **more: Any) -> Any:
        return suppose(season, changes, replace(tries, steps=1), **more)

    monkeypatch.setattr(worker_module, "suppose", quickly)


def test_asked_tried_and_read_in_the_paper(kitchen: Kitchen, bea: Asking):
    before = bea.get(PAPER).text
    assert f'href="{ASK}"' in before
    assert "prepared kg more" not in before
    page = bea.get(ASK).text
    assert 'name="dryer"' in page
    assert 'name="dryer-and-supply"' in page
    sent = send(bea, ASK, {"dryer-and-supply": "yes", "tries": "1"})
    where = sent.headers["location"]
    waiting = bea.get(where).text
    assert "0 of 1 tries of a week are done." in waiting
    assert "left" not in words(bea.get(f"{where}/progress").text)
    again = send(bea, ASK, {"steamer": "yes", "tries": "1"})
    assert again.status_code == 409
    assert "2026 is being tried" in again.text
    Worker(kitchen.shelf, Event(), way=WAY, clock=lambda: FRIDAY).take()
    assert "data-over" in bea.get(f"{where}/progress").text
    done = words(bea.get(where).text)
    assert "Done: it stands in the board paper." in done
    assert "One more dryer, 8 kW more supply" in done
    paper = words(bea.get(PAPER).text)
    assert "prepared kg more" in paper
    assert "tried once" in paper
    assert "Tried on 14 Aug 2026 on the 1 week posted by then." in paper
    assert "try again" not in paper
    number = where.rsplit("/", 1)[-1]
    body = kitchen.by["board"].get(f"/api/v1/board/suppositions/{number}").json()
    (option,) = body["options"]
    assert option["saved_kg"] >= 0
    assert option["price"] in paper
    assert f'href="{where}"' in bea.get(ASK).text


def test_the_time_left_is_told_while_it_runs(kitchen: Kitchen, bea: Asking):
    where = send(bea, ASK, {"evening-when-full": "yes", "tries": "2"}).headers["location"]
    number = int(where.rsplit("/", 1)[-1])
    worker = Worker(kitchen.shelf, Event(), way=WAY, clock=lambda: FRIDAY)
    with kitchen.shelf.working() as jobs:
        job = jobs.claim("me", at=FRIDAY, until=FRIDAY + WAY.lease, number=number)
    assert job is not None
    assert job.season is not None
    for left_s, told in (
        (None, "0 of 2 tries of a week are done."),
        (Seconds(1500), "About 25 minutes are left."),
        (Seconds(60), "About 1 minute is left."),
        (Seconds(20), "Less than a minute is left."),
    ):
        with kitchen.shelf.working() as jobs:
            assert jobs.change(job, season=replace(job.season, left_s=left_s))
        page = words(bea.get(f"{where}/progress").text)
        assert page.endswith(told)
    with kitchen.shelf.working() as jobs:
        jobs.want_stop(number)
    assert "left" not in words(bea.get(f"{where}/progress").text)
    with kitchen.shelf.working() as jobs:
        assert jobs.change(job, state="asked", worker="", lease_until=None, stop_wanted=False)
    worker.take()
    done = words(bea.get(where).text)
    assert "Evening shift when full" in done
    assert "left" not in words(bea.get(f"{where}/progress").text)


def test_nothing_chosen_is_told(bea: Asking):
    refused = send(bea, ASK, {"tries": "2"})
    assert refused.status_code == 422
    assert "choose at least one to try" in refused.text
    assert send(bea, ASK, {"dryer": "yes", "tries": "90"}).status_code == 422
    assert bea.get("/board/season/2025/suppose").status_code == 404


def test_stopped_from_its_page(kitchen: Kitchen, bea: Asking):
    where = send(bea, ASK, {"dryer": "yes", "tries": "3"}).headers["location"]
    assert send(bea, where, {}, form=f"{where}/stop").headers["location"] == where
    assert "Stopped; nothing of it is kept" in bea.get(where).text


def test_it_is_the_boards_and_the_managers(kitchen: Kitchen):
    assert entered(kitchen, "manager").get(ASK).status_code == 200
    for role in ("hand", "grower", "on_call"):
        asker = entered(kitchen, role)
        assert asker.get(ASK).status_code == asker.get("/board/suppose/1").status_code == 403
