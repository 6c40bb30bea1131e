"""Suppose on its pages, over HTTP and at the command line: asked, looked at, compared."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from threading import Event

import httpx
import pytest

from api.worker import Way, Worker
from scheduler.domain.plan import Plan
from scheduler.domain.supposition import KINDS
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen
from tests.shelves import FRIDAY
from tests.site import entered, send, with_posted, words

CHOICES = f"/suppose?week={WEEK}"
WAY = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("suppose"), plan) as found:
        yield found


@pytest.fixture(scope="module")
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def work(kitchen: Kitchen, where: str) -> None:
    number = int(where.rsplit("/", maxsplit=1)[-1])
    assert Worker(kitchen.shelf, Event(), way=WAY, clock=lambda: FRIDAY).take(number)


def form_of(what: str) -> str:
    return f"{CHOICES}&what={what.replace(' ', '+')}"


def test_asked_looked_at_and_compared(kitchen: Kitchen, lotte: Asking, plan: Plan):
    sent = send(lotte, form_of("dryer"), {"seconds": "3"}, form="/suppose")
    assert sent.status_code == 303
    where = sent.headers["location"]
    waiting = lotte.get(where).text
    assert "it waits for a worker" in waiting
    assert f'data-look="{where}/progress"' in waiting
    assert "data-over" not in lotte.get(f"{where}/progress").text
    work(kitchen, where)
    assert "data-over" in lotte.get(f"{where}/progress").text
    page = lotte.get(where).text
    told = words(page)
    assert "Suppose: One more dryer" in told
    assert re.search(r"more prepared weight has a place|As much has a place", told)
    assert "nothing of this can be posted" in told
    assert "No plan whatever of the week as it is" in told
    assert "for at most 1 second from the same start" in told
    assert "/post" not in page
    assert f'href="{where}"' in lotte.get(CHOICES).text
    body = kitchen.by["manager"].get(f"/api/v1/suppositions/{where.split('/')[-1]}").json()
    found = body["found"]
    assert found["more_kg"] == pytest.approx(
        found["supposed"]["worth_kg"] - found["as_it_is"]["worth_kg"]
    )
    assert found["more_kg"] >= 0
    for each in found["growers"]:
        assert AUGUST.grower(each["grower_id"]).farm in told


def test_another_order_says_that_each_week_stands_alone(kitchen: Kitchen, lotte: Asking):
    where = send(lotte, form_of("order"), {"seconds": "2"}, form="/suppose").headers["location"]
    work(kitchen, where)
    told = words(lotte.get(where).text)
    assert "laid out from an empty plan for at most 1 second, by itself" in told
    assert "from the same start" not in told


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_a_form_that_leads_back(lotte: Asking, kind: str):
    assert f'href="{form_of(kind).replace("&", "&amp;")}"' in lotte.get(CHOICES).text
    page = lotte.get(form_of(kind)).text
    assert f'name="what" value="{kind}"' in page
    assert f'href="{CHOICES}"' in page


def test_a_note_otherwise_is_told_field_by_field(kitchen: Kitchen, lotte: Asking):
    note = AUGUST.notes[3]
    path = form_of("note")
    assert "a person named, not here" in lotte.get(path).text
    nothing = send(lotte, path, {"note": note.id, "weight": "", "seconds": "3"}, form="/suppose")
    assert nothing.status_code == 422
    assert "say at least one that is otherwise" in nothing.text
    said = {"note": note.id, "weight": "12,5", "day": "2026-08-20"}
    said |= {"latest": "2026-08-21", "latest_at": "11:00"}
    where = send(lotte, path, said | {"seconds": "3"}, form="/suppose").headers["location"]
    told = words(lotte.get(where).text)
    assert f"A note otherwise: {note.id}" in told
    assert "12.5 kg; arrives Thu 20 Aug" in told
    assert "latest start Fri 21 Aug, 11:00" in told


def test_a_dryer_down_is_asked_from_when_to_when(lotte: Asking):
    path = form_of("down")
    assert "isolated from power" in lotte.get(path).text
    said = {"dryer": "D1", "start": "2026-08-18", "start_at": "08:00", "seconds": "3"}
    said |= {"end": "2026-08-18", "end_at": "07:00"}
    wrong = send(lotte, path, said, form="/suppose")
    assert wrong.status_code == 422
    assert "must be after the start" in wrong.text
    right = send(lotte, path, said | {"end": "2026-08-19", "end_at": "08:00"}, form="/suppose")
    told = words(lotte.get(right.headers["location"]).text)
    assert "A dryer down: D1, Tue 18 Aug, 08:00 to Wed 19 Aug, 08:00" in told
    unread = send(lotte, path, said | {"end_at": "soon"}, form="/suppose")
    assert "must be a time of day" in unread.text


def test_stopped_from_its_page(kitchen: Kitchen, lotte: Asking):
    where = send(lotte, form_of("table"), {"seconds": "30"}, form="/suppose").headers["location"]
    stopped = send(lotte, where, {}, form=f"{where}/stop")
    assert stopped.headers["location"] == where
    assert "Stopped" in lotte.get(where).text
    assert send_again(lotte, where).status_code == 303


def send_again(asker: Asking, where: str) -> httpx.Response:
    return asker.ask("POST", f"{where}/stop", headers={"Origin": "http://kitchen"})


def test_sent_twice_it_is_asked_once(kitchen: Kitchen, lotte: Asking):
    page = lotte.get(form_of("hand")).text
    hidden = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page))
    said = hidden | {"seconds": "3"}
    home = {"Origin": "http://kitchen"}
    first, second = (lotte.ask("POST", "/suppose", data=said, headers=home) for _ in range(2))
    assert first.headers["location"] == second.headers["location"]


def test_it_is_the_managers_page(kitchen: Kitchen, lotte: Asking):
    where = send(lotte, form_of("table"), {"seconds": "3"}, form="/suppose").headers["location"]
    for role in ("hand", "grower", "board", "on_call"):
        asker = entered(kitchen, role)
        for path in (CHOICES, where, f"{where}/progress"):
            assert asker.get(path).status_code == 403
        assert "/suppose" not in asker.get("/my-settings").text
    assert 'href="/suppose"' in lotte.get("/my-settings").text


def test_work_of_another_kind_is_not_there(kitchen: Kitchen, lotte: Asking):
    sent = kitchen.by["manager"].post("/api/v1/lay-outs", {"week": WEEK})
    number = sent.json()["number"]
    assert lotte.get(f"/suppose/{number}").status_code == 404
    where = send(lotte, form_of("table"), {"seconds": "3"}, form="/suppose").headers["location"]
    other = where.split("/")[-1]
    assert lotte.get(f"/lay-out/{other}").status_code == 404
    assert kitchen.by["manager"].get(f"/api/v1/lay-outs/{other}").status_code == 404
    assert lotte.get(f"/lay-out/{number}").status_code == 200
