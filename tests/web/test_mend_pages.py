"""Re-lay on its pages: asked for, both ways with who moves, and the way to posting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from threading import Event

import pytest

from api.services.plans import keep
from api.worker import Way, Worker
from scheduler.domain.part_lot import Discarded, GoesOn, PartLot
from scheduler.domain.plan import Plan
from scheduler.units import Grams, Racks, Seconds
from tests.asking import Asking
from tests.served import WEEK, Kitchen
from tests.site import entered, send, with_posted
from tests.web.test_dry_check import words

TUESDAY = datetime.fromisoformat("2026-08-18T07:30-04:00")
ASK = f"/re-lay?week={WEEK}"


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    """D3 has stopped until Thursday noon."""
    with with_posted(tmp_path, plan, at=TUESDAY) as found:
        cook = found.by["hand"]
        stop = cook.post("/api/v1/outages", {"station_id": "D3"})
        seen = {"If-Match": stop.headers["etag"]}
        back = {"back": "2026-08-20T12:00:00-04:00"}
        cook.ask("PATCH", stop.headers["location"], json=back, headers=seen)
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def work(kitchen: Kitchen) -> None:
    way = Way(lease=timedelta(seconds=30), explain_seconds=0, climbers=1)
    Worker(kitchen.shelf, Event(), way=way, clock=lambda: kitchen.now[0]).take()


def test_asked_found_looked_at_and_posted(kitchen: Kitchen, lotte: Asking):
    assert f'href="{ASK}"' in lotte.get("/night-sheet/stopped/1").text
    sent = send(lotte, ASK, {}, form="/re-lay")
    where = sent.headers["location"]
    waiting = lotte.get(where)
    assert waiting.headers["refresh"] == "2"
    assert "A worker looks for both ways." in words(waiting.text)
    again = send(lotte, ASK, {}, form="/re-lay")
    assert (again.status_code, "is under way" in again.text) == (409, True)
    work(kitchen)
    page = lotte.get(where)
    told = words(page.text)
    assert "refresh" not in page.headers
    assert "A small change: what cannot stay alone is moved" in told
    assert "(proposed)" in told
    assert "Nothing is posted yet." in told
    body = kitchen.by["manager"].get(f"/api/v1/re-lays/{where.split('/')[-1]}").json()
    first = body["ways"][0]
    assert first["proposed"]
    assert all(move["grower_id"] in told for move in first["moves"])
    post = f"/plans/{first['plan']}/post"
    assert f'href="{post}?moving=yes"' in page.text
    kitchen.now[0] = TUESDAY + timedelta(minutes=3)
    assert "Every message, as it would be sent" in lotte.get(f"{post}?moving=yes").text
    done = send(lotte, f"{post}?moving=yes", {}, form=post)
    assert (done.status_code, done.headers["location"]) == (303, "/messages")


def test_a_hand_looks_and_the_manager_posts(kitchen: Kitchen):
    sal = entered(kitchen, "hand")
    where = send(sal, ASK, {}, form="/re-lay").headers["location"]
    work(kitchen)
    assert "then post<" not in sal.get(where).text
    for role in ("grower", "board", "on_call"):
        asker = entered(kitchen, role)
        assert asker.get(where).status_code == asker.get(ASK).status_code == 403
    spanish = words(sal.get(where, headers={"Accept-Language": "es"}).text)
    assert "Un cambio pequeño" in spanish


def test_what_a_named_person_decided_on_part_lots_is_listed(kitchen: Kitchen, lotte: Asking):
    where = send(lotte, ASK, {}, form="/re-lay").headers["location"]
    number = int(where.split("/")[-1])
    assert "Decided on part-lots" not in lotte.get(where).text
    work(kitchen)
    left = PartLot("R09", "A", Racks(3), Grams(4500), "D3", TUESDAY, Seconds(0), 20.0)
    gone = replace(left, discarded=Discarded("Lotte Amberry", TUESDAY))
    goes_on = replace(left, letter="B", racks=Racks(1), goes_on=GoesOn("Ewan Sall", TUESDAY))
    undecided = replace(left, note_id="R10", letter="")
    with kitchen.shelf.writing() as book:
        job = book.jobs.find(number)
        assert job
        assert job.mend
        assert job.mend.small
        kept = book.plans.find(job.mend.small.plan)
        assert kept
        plan = replace(kept.plan, part_lots=(gone, goes_on, undecided))
        anew = keep(book.plans, kept.asked, plan, laid_out_at=TUESDAY)
        small = replace(job.mend.small, plan=anew)
        book.jobs.change(job, mend=replace(job.mend, small=small))
    told = words(lotte.get(where).text)
    assert "R09 A, 3 racks, discarded after a stop: Lotte Amberry decided, Tue 18 Aug" in told
    assert "R09 B, 1 rack, over the house limit, goes on: Ewan Sall decided" in told
    assert "R10, 3 racks" not in told
