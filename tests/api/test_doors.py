"""How the book is opened: log-in, invitation, token, calendar address."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest

from api.routes.problems import PROBLEM_JSON
from api.services.passwords import hashed
from api.services.people import COMMAND_LINE, NewPerson, add_person
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import doing
from tests.served import TOMATO, WEEK, Kitchen

PASSWORD = "warm racks, cool store"
SECRET = hashed(PASSWORD)
JSON, FORM = "application/json", "multipart/form-data; boundary=x"
FILE = b'--x\r\nContent-Disposition: form-data; name="file"; filename="notes.csv"\r\n\r\n'


def test_a_session_lasts_until_it_is_ended(kitchen: Kitchen):
    with kitchen.shelf.writing() as book:
        add_person(book, doing(COMMAND_LINE), NewPerson("gus", "Gus", "hand", None, SECRET))
    gus, home = kitchen.nobody(), {"Origin": "http://kitchen"}
    assert gus.get("/api/v1/me").status_code == 401
    assert gus.post("/api/v1/sessions", {"login": "gus", "password": "no"}).status_code == 401
    entered = gus.post("/api/v1/sessions", {"login": "gus", "password": PASSWORD}, headers=home)
    assert entered.status_code == 204
    cookie = entered.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=lax" in cookie
    assert gus.get("/api/v1/me").json()["login"] == "gus"
    stolen = dict(gus.cookies)
    assert gus.ask("DELETE", "/api/v1/sessions/own", headers=home).status_code == 204
    gus.cookies.update(stolen)
    assert gus.get("/api/v1/me").status_code == 401


@pytest.mark.parametrize("origin", [{}, {"Origin": "http://elsewhere"}, {"Origin": "null"}])
def test_a_page_from_elsewhere_cannot_act_with_a_cookie(kitchen: Kitchen, origin: dict[str, str]):
    with kitchen.shelf.writing() as book:
        add_person(book, doing(COMMAND_LINE), NewPerson("gus", "Gus", "hand", None, SECRET))
    gus = kitchen.nobody()
    gus.post("/api/v1/sessions", {"login": "gus", "password": PASSWORD})
    refused = gus.post("/api/v1/outages", {"station_id": "D3"}, headers=origin)
    assert refused.status_code == 403
    own = gus.post("/api/v1/outages", {"station_id": "D3"}, headers={"Origin": "http://kitchen"})
    assert own.status_code == 201


def test_five_tries_and_then_wait(kitchen: Kitchen):
    nobody = kitchen.nobody()
    wrong = {"login": "nobody", "password": "wrong"}
    tried = [nobody.post("/api/v1/sessions", wrong) for _ in range(6)]
    assert [each.status_code for each in tried] == [401] * 5 + [429]
    assert int(tried[-1].headers["retry-after"]) > 0


def test_a_password_is_not_guessed_by_way_of_changing_it(kitchen: Kitchen):
    hand = kitchen.by["hand"]
    guess = {"old": "wrong", "new": "a new password"}
    tried = [hand.ask("PUT", "/api/v1/me/password", json=guess) for _ in range(6)]
    assert [each.status_code for each in tried] == [401] * 5 + [429]


@pytest.mark.parametrize(
    ("path", "kind", "begin"),
    [("sessions", JSON, b'{"login": "'), ("notes", JSON, b""), ("notes/import", FORM, FILE)],
)
def test_nobody_is_listened_to_for_ever(kitchen: Kitchen, path: str, kind: str, begin: bytes):
    parts = iter([begin] + [b"x" * 1_000_000] * 50)

    async def much() -> AsyncIterator[bytes]:
        for part in parts:
            yield part

    sent = {"Content-Type": kind}
    answer = kitchen.nobody().ask("POST", f"/api/v1/{path}", content=much(), headers=sent)
    assert (answer.status_code, answer.headers["content-type"]) == (413, PROBLEM_JSON)
    assert len(list(parts)) > 40


def test_an_invitation_opens_the_own_day_on_a_telephone(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    link = manager.post("/api/v1/people/odile/invitation").json()["link"]
    telephone = kitchen.nobody()
    assert telephone.get(link).json()["grower_id"] == "G01"
    day = telephone.get("/api/v1/day-sheets/2026-08-17").json()
    assert [each["name"] for each in day["in_the_house"]] == ["Odile Farrant"]
    assert {each["grower_id"] for each in telephone.get("/api/v1/notes").json()["items"]} == {"G01"}
    seen = {"If-Match": '"1"'}
    change = telephone.ask("PATCH", "/api/v1/notes/R02", json={"remark": "ripe"}, headers=seen)
    end = {"state": "let go"}
    ended = telephone.ask("POST", "/api/v1/notes/R02/end", json=end, headers=seen)
    told = telephone.post("/api/v1/notes", TOMATO)
    fed = telephone.post("/api/v1/feeds", {"kind": "grower", "whose": "G01"})
    assert [each.status_code for each in (change, ended, told, fed)] == [403] * 4
    for path in ("/api/v1/tokens", "/api/v1/growers", f"/api/v1/weeks/{WEEK}", "/api/v1/people"):
        assert telephone.get(path).status_code == 403
    assert telephone.get(f"{link}x").status_code == 401


def test_a_token_is_shown_once_and_can_be_narrowed(kitchen: Kitchen):
    hand = kitchen.by["hand"]
    given = hand.post("/api/v1/tokens", {"label": "door tablet", "acts": ["door"]}).json()
    assert given["secret"] not in hand.get("/api/v1/tokens").text
    tablet = Asking(hand.app, given["secret"])
    assert tablet.post("/api/v1/lots", {"note_id": "R01", "weighed_kg": 50}).status_code == 201
    assert tablet.get("/api/v1/notes").status_code == 403
    assert tablet.post("/api/v1/tokens", {"acts": []}).status_code == 403
    hand.ask("DELETE", f"/api/v1/tokens/{given['token']['id']}")
    assert tablet.get("/api/v1/me").status_code == 401


def test_a_grower_subscribes_to_her_own_turns(kitchen: Kitchen, plan: Plan):
    manager, grower = kitchen.by["manager"], kitchen.by["grower"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    given = grower.post("/api/v1/feeds", {"kind": "grower", "whose": "G01"}).json()
    phone = kitchen.nobody()
    calendar = phone.get(given["link"])
    assert calendar.headers["content-type"] == "text/calendar; charset=utf-8"
    assert "STATUS:CONFIRMED" in calendar.text
    assert "BEGIN:VTIMEZONE" in calendar.text
    seen = {"If-None-Match": calendar.headers["etag"]}
    assert phone.get(given["link"], headers=seen).status_code == 304
    note = grower.get("/api/v1/notes").json()["items"][0]
    let_go = {"If-Match": f'"{note["version"]}"'}
    grower.post(f"/api/v1/notes/{note['id']}/end", {"state": "let go"}, headers=let_go)
    again = phone.get(given["link"], headers=seen)
    assert (again.status_code, "STATUS:CANCELLED" in again.text) == (200, True)
    grower.ask("DELETE", f"/api/v1/tokens/{given['token']['id']}")
    assert phone.get(given["link"]).status_code == 401


def test_feeds_of_others_are_as_if_they_were_not_there(kitchen: Kitchen, plan: Plan):
    kitchen.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    for whose in ("G02", "G99"):
        answer = kitchen.by["grower"].post("/api/v1/feeds", {"kind": "grower", "whose": whose})
        assert (answer.status_code, answer.json()["detail"]) == (
            404,
            f"there is no feed of grower {whose}",
        )
    assert kitchen.by["grower"].post("/api/v1/feeds", {"kind": "on call"}).status_code == 404
    assert kitchen.by["board"].post("/api/v1/feeds", {"kind": "on call"}).status_code == 403
    station = {"kind": "station", "whose": "D1"}
    assert kitchen.by["on_call"].post("/api/v1/feeds", station).status_code == 403
    for asker, wanted in (
        (kitchen.by["hand"], station),
        (kitchen.by["on_call"], {"kind": "on call"}),
    ):
        link = asker.post("/api/v1/feeds", wanted).json()["link"]
        assert "BEGIN:VEVENT" in kitchen.nobody().get(link).text
