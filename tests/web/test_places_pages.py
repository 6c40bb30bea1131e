"""One lot's place on its pages: a true weight, a harvest that comes later, room for who waits."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from api.services.outages import down
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import HAND, doing
from tests.served import AUGUST, WEEK, Kitchen
from tests.site import HOME, entered, send, with_posted
from tests.web.test_dry_check import words

MORNING = datetime.fromisoformat("2026-08-17T08:05-04:00")
THURSDAY = datetime.fromisoformat("2026-08-20T08:35-04:00")
ROOM = f"/waiting-list/room/{WEEK}"


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=MORNING) as found:
        yield found


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def weigh(asker: Asking, day: str, note_id: str, weight: str) -> None:
    path = f"/at-the-door/{day}"
    said = {"note": note_id, "weight": weight, "sure": "yes"}
    assert asker.ask("POST", path, data=said, headers=HOME).status_code == 303
    assert f'href="/places/{note_id}"' in asker.get(path).text


def others(kitchen: Kitchen, *besides: str) -> list[object]:
    with kitchen.shelf.reading() as book:
        turns = book.turns.where(week=AUGUST.week)
        return [each.turn for each in turns if each.note_id not in besides]


def test_r02_at_158_kg_from_the_door_to_its_place(sal: Asking, kitchen: Kitchen):
    before = others(kitchen, "R02")
    weigh(sal, "2026-08-17", "R02", "158")
    told = words(sal.get("/places/R02").text)
    assert "R02 tomato, 158 kg" in told
    assert "Each of these moves nobody else:" in told
    assert "In part; the rest stays cold and waits" in told
    assert "31.6 kg waits" in told
    done = send(sal, "/places/R02", {"kind": "part"})
    assert done.status_code == 303
    assert "R02 has its place; its grower is told." in words(sal.get("/places/R02").text)
    assert "Its turn holds: nothing moves." in words(sal.get("/places/R02").text)
    assert others(kitchen, "R02") == before


def test_r19_at_35_kg_gives_racks_back_and_room_is_looked_for(sal: Asking, kitchen: Kitchen):
    kitchen.now[0] = THURSDAY
    weigh(sal, "2026-08-20", "R19", "35")
    assert "It fits where it is, nobody else is moved." in words(sal.get("/places/R19").text)
    assert send(sal, "/places/R19", {"kind": "same"}).status_code == 303
    assert f'href="{ROOM}"' in sal.get("/places/R19").text
    assert "Room for those who wait" in words(sal.get(ROOM).text)


def test_what_is_let_go_is_offered_in_order_of_turn_and_given_at_one_press(
    sal: Asking, kitchen: Kitchen
):
    for gone in ("R08", "R19"):
        where = f"/harvest-notes/{gone}/let-go"
        assert send(sal, where, {}).status_code == 303
    page = sal.get(ROOM).text
    assert "Give the place to" in words(page)
    note_id = words(page).split("Give the place to ")[1].split(" ")[0]
    assert send(sal, ROOM, {}, form=f"/places/{note_id}").headers["location"] == ROOM
    assert f"{note_id} has its place" in words(sal.get(ROOM).text)
    with kitchen.shelf.reading() as book:
        note = book.notes.last(id=note_id)
        assert note
        assert note.state in ("firm", "pencilled")
        assert book.messages.last(grower_id=note.grower_id)


def test_r09_a_day_late_is_answered_and_takes_another_run(sal: Asking, kitchen: Kitchen):
    before, path = others(kitchen, "R09"), "/places/R09/later"
    assert f'href="{path}"' in sal.get("/harvest-notes/R09").text
    look = send(sal, path, {"day": "2026-08-19", "at": "08:00"})
    told = words(look.text)
    assert look.status_code == 200
    assert "If it comes Wed 19 Aug, 08:00: It does not fit as it is planned." in told
    assert "In another run R09: 40 racks in D3, Wed 19 Aug, 12:25" in told
    said = {"kind": "other run", "version": "2", "arrives": "2026-08-19T08:00:00-04:00"}
    with kitchen.shelf.reading() as book:
        entry = book.notes.last(id="R09")
        assert entry
        said["version"] = str(entry.version)
    kept = sal.ask("POST", f"{path}/keep", data=said, headers=HOME)
    assert (kept.status_code, kept.headers["location"]) == (303, "/harvest-notes/R09")
    assert "R09 comes Wed 19 Aug, 08:00. It is firm." in words(sal.get("/harvest-notes/R09").text)
    assert others(kitchen, "R09") == before


def test_a_quarter_of_an_hour_later_its_turn_holds(sal: Asking):
    told = words(send(sal, "/places/R09/later", {"day": "2026-08-18", "at": "08:15"}).text)
    assert "Its turn holds: nothing moves." in told
    assert "Keep the time" in told


def test_without_a_place_the_rule_is_told_and_its_turns_end(sal: Asking, kitchen: Kitchen):
    look = send(sal, "/places/R06/later", {"day": "2026-08-22", "at": "08:00"})
    told = words(look.text)
    assert "It has no place without moving others." in told
    assert "Keep the time; its turns end" in told
    assert "of the kitchen:" in told
    wrong = send(sal, "/places/R06/later", {"day": "2026-08-29", "at": "08:00"})
    assert wrong.status_code == 409
    assert "carry it over instead" in wrong.text


@pytest.mark.parametrize("path", ["/places/R02", "/places/R02/later", ROOM])
def test_whose_pages_they_are(kitchen: Kitchen, path: str):
    for role, status in (("manager", 200), ("grower", 403), ("board", 403), ("on_call", 403)):
        assert entered(kitchen, role).get(path).status_code == status  # type: ignore[arg-type]


def test_in_spanish(sal: Asking):
    look = sal.get("/places/R02", headers={"Accept-Language": "es"})
    assert "Su turno se mantiene: nada se mueve." in words(look.text)


def test_over_http(kitchen: Kitchen):
    sal = kitchen.by["hand"]
    sal.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 158})
    found = sal.get("/api/v1/notes/R02/places").json()
    assert (found["holds"], [each["kind"] for each in found["places"]]) == (False, ["part"])
    assert found["places"][0]["rest_kg"] == pytest.approx(31.6)
    done = sal.post("/api/v1/notes/R02/place", {"kind": "part"})
    assert (done.status_code, done.json()["state"]) == (200, "at the door")
    seen = {"If-Match": sal.get("/api/v1/notes/R09").headers["etag"]}
    later = {"arrives": "2026-08-19T08:00:00-04:00"}
    look = sal.post("/api/v1/notes/R09/later/look", later, headers=seen).json()
    assert "other run" in [each["kind"] for each in look["places"]]
    assert sal.get("/api/v1/notes/R09").headers["etag"] == seen["If-Match"]
    kept = sal.post("/api/v1/notes/R09/later", later | {"kind": "other run"}, headers=seen)
    assert (kept.status_code, kept.json()["state"]) == (200, "firm")
    assert sal.get(f"/api/v1/weeks/{WEEK}/offers").status_code == 200


def test_r26_after_its_papers_end_is_pencilled_never_firm(kitchen: Kitchen):
    """G04's insurance ends on Thursday; R26 comes on Friday."""
    sal = kitchen.by["hand"]
    found = sal.get("/api/v1/notes/R26").json()
    assert any("insurance" in each for each in found["papers_short"])
    seen = {"If-Match": sal.get("/api/v1/notes/R26").headers["etag"]}
    look = sal.post(
        "/api/v1/notes/R26/later/look", {"arrives": "2026-08-21T10:00:00-04:00"}, headers=seen
    ).json()
    assert (look["places"], look["rule"]) == ([], 5)
    for gone in ("R08", "R19"):
        version = {"If-Match": sal.get(f"/api/v1/notes/{gone}").headers["etag"]}
        sal.post(f"/api/v1/notes/{gone}/end", {"state": "let go"}, headers=version)
    before = others(kitchen, "R26")
    ways = sal.get("/api/v1/notes/R26/places").json()["places"]
    assert ways
    done = sal.post("/api/v1/notes/R26/place", {"kind": ways[0]["kind"]})
    assert done.json()["state"] == "pencilled"
    assert others(kitchen, "R26") == before


def test_r18s_helper_without_orientation_is_told_at_once_and_nobody_moves(
    kitchen: Kitchen, sal: Asking
):
    lotte = kitchen.by["manager"]
    before = others(kitchen)
    entry = {"kind": "orientation", "helper": "Jory Quill", "until": None}
    assert lotte.ask("PUT", "/api/v1/papers/growers/G10", json=entry).status_code == 200
    found = lotte.get("/api/v1/notes/R18").json()
    assert any("Jory Quill" in each for each in found["papers_short"])
    assert "orientation of Jory Quill missing" in words(sal.get("/harvest-notes/R18").text)
    assert others(kitchen) == before


def test_the_room_page_says_that_the_plan_is_broken(sal: Asking, kitchen: Kitchen):
    with kitchen.shelf.writing() as book:
        down(book, doing(HAND, MORNING), "D3", stopped=MORNING, cause="fan motor")
    told = words(sal.get(ROOM).text)
    assert "The posted plan no longer holds by itself: the week is to be mended." in told
    assert "room for nobody" not in told
