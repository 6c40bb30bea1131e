"""Who may read which page: role by role, before and after the book has people."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.records.people import Role
from api.services.passwords import hashed
from api.services.people import COMMAND_LINE, NewPerson, add_person, invite
from api.services.roles import ROLES
from api.services.throttle import Throttle
from api.settings import Settings
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from tests.asking import Asking
from tests.book import doing
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY, fresh_shelf, put
from web.app import create_site

PASSWORD = "warm racks, cool store"
WEEK_PAGE, DAY_PAGE = f"/weeks/{WEEK}", "/day-sheets/2026-08-18"
HOME = {"Origin": "http://kitchen"}
PAGES = ("/", WEEK_PAGE, DAY_PAGE)
HERE = AUGUST.kitchen.name  # all its people may know that they are in it
NAMES = (
    {each.farm for each in AUGUST.growers}
    | {AUGUST.kitchen.name}
    | {hand.name for hand in AUGUST.kitchen.hands}
)
MAY: dict[Role, tuple[int, int, int]] = {
    "manager": (303, 200, 200),
    "hand": (303, 200, 200),
    "grower": (303, 403, 200),
    "board": (303, 403, 403),
    "on_call": (303, 403, 403),
}


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with opened(tmp_path_factory.mktemp("kitchen"), create_site) as found:
        with found.shelf.writing() as book:
            new = NewPerson("gus", "Gus Hollin", "hand", None, hashed(PASSWORD))
            add_person(book, doing(COMMAND_LINE), new)
        number = found.laid_out(plan)
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
        yield found


@pytest.mark.parametrize("path", [*PAGES, "/weeks/2026-W01", "/day-sheets/2026-01-01"])
@pytest.mark.parametrize("base_url", ["http://kitchen", "http://127.0.0.1"])
def test_nobody_reads_a_page_of_a_book_with_people(kitchen: Kitchen, path: str, base_url: str):
    """A page that is there is answered as one that is not."""
    answer = Asking(kitchen.by["hand"].app, base_url=base_url).get(path)
    assert (answer.status_code, 'action="/log-in"' in answer.text) == (401, True)
    assert not [name for name in NAMES if name in answer.text]
    bare = answer.text.replace(path, "")
    assert not re.search(r"\d\d", re.sub(r'maxlength="\d+"', "", bare))  # and no figure


@pytest.mark.parametrize("role", ROLES)
def test_each_role_reads_what_is_its_own(kitchen: Kitchen, role: Role):
    answers = [kitchen.by[role].get(path) for path in PAGES]
    assert tuple(each.status_code for each in answers) == MAY[role]
    for answer in answers:
        if answer.status_code != 200 or role in ("board", "on_call"):
            assert not [name for name in NAMES - {HERE} if name in answer.text]


def test_a_grower_reads_nothing_of_others(kitchen: Kitchen):
    odile = kitchen.nobody()
    with kitchen.shelf.writing() as book:
        secret = invite(book, doing(COMMAND_LINE), "odile").secret
    assert odile.get(f"/invited/{secret}").headers["location"] == "/"
    day = odile.get("/day-sheets").headers["location"]
    assert day.startswith("/day-sheets/2026-08-")
    own = {note.id for note in AUGUST.notes if note.grower_id == "G01"}
    others = {each.farm for each in AUGUST.growers if each.id != "G01"}
    pages = [odile.get(day)] + [odile.get(f"/day-sheets/{each}") for each in AUGUST.days]
    assert any(f"<strong>{note}" in each.text for each in pages for note in own)
    for page in pages:
        assert page.status_code == 200
        assert not set(re.findall(r"\bR\d\d\b", page.text)) - own
        assert not [name for name in others if name in page.text]
        assert not [each.name for each in AUGUST.kitchen.hands if each.name in page.text]
        assert not re.search(r"plan \d|/weeks/", page.text)
    assert odile.get(WEEK_PAGE).status_code == 403
    assert kitchen.nobody().get(f"/invited/{secret}x").status_code == 401


def test_one_logs_in_by_the_form_comes_back_and_goes(kitchen: Kitchen):
    gus = kitchen.nobody()
    assert f'name="to" value="{DAY_PAGE}"' in gus.get(DAY_PAGE).text
    said = {"login": "gus", "password": PASSWORD, "to": DAY_PAGE}
    wrong = gus.ask("POST", "/log-in", data=said | {"password": "no"}, headers=HOME)
    assert (wrong.status_code, "do not go together" in wrong.text) == (401, True)
    assert gus.ask("POST", "/log-in", data=said).status_code == 403
    entered = gus.ask("POST", "/log-in", data=said, headers=HOME)
    assert (entered.status_code, entered.headers["location"]) == (303, DAY_PAGE)
    assert "secure" not in entered.headers["set-cookie"].lower()
    page = gus.get(DAY_PAGE)
    assert (page.status_code, page.headers["cache-control"]) == (200, "private, no-cache")
    assert "Gus Hollin" in page.text
    stolen = dict(gus.cookies)
    assert gus.ask("POST", "/log-out").status_code == 403
    assert gus.ask("POST", "/log-out", headers=HOME).status_code == 303
    gus.cookies.update(stolen)
    assert gus.get(DAY_PAGE).status_code == 401


@pytest.mark.parametrize(
    "to", ["//elsewhere", "https://elsewhere", "/\\elsewhere", "weeks", "/a?b"]
)
def test_nobody_is_sent_elsewhere_after_logging_in(kitchen: Kitchen, to: str):
    data = {"login": "gus", "password": PASSWORD, "to": to}
    kitchen.by["hand"].app.state.throttle = Throttle()
    answer = kitchen.nobody().ask("POST", "/log-in", data=data, headers=HOME)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_cookies_that_came_over_https_go_over_https_only(kitchen: Kitchen):
    far = Asking(kitchen.by["hand"].app, base_url="https://kitchen")
    data = {"login": "gus", "password": PASSWORD}
    kitchen.by["hand"].app.state.throttle = Throttle()
    answer = far.ask("POST", "/log-in", data=data, headers={"Origin": "https://kitchen"})
    assert answer.status_code == 303
    assert "secure" in answer.headers["set-cookie"].lower()


def test_with_an_https_address_every_cookie_is_secure(tmp_path: Path):
    settings = Settings.of({"COMMONRACK_ADDRESS": "https://rack.example/"})
    assert (settings.address, settings.https_only) == ("https://rack.example", True)
    with pytest.raises(BadInput):
        Settings.of({"COMMONRACK_ADDRESS": "rack.example"})
    with opened(tmp_path, create_site, https_only=True) as found:
        with found.shelf.writing() as book:
            secret = invite(book, doing(COMMAND_LINE), "odile").secret
        cookie = found.nobody().get(f"/invited/{secret}").headers["set-cookie"]
        assert "secure" in cookie.lower()


def test_a_book_without_people_is_open_at_its_machine_alone_and_says_so(tmp_path: Path, plan: Plan):
    with fresh_shelf(tmp_path) as shelf:
        put(shelf, AUGUST, plan)
        site = create_site(shelf, clock=lambda: FRIDAY)
        here, proxied = (
            Asking(site, base_url=f"http://{name}") for name in ("127.0.0.1", "kitchen")
        )
        for path in (WEEK_PAGE, DAY_PAGE):
            page = here.get(path)
            assert (page.status_code, "Nobody has a log-in yet" in page.text) == (200, True)
            assert proxied.get(path).status_code == 401
        assert here.get("/api/v1/notes").status_code == 401
        with shelf.writing() as book:
            add_person(book, doing(COMMAND_LINE), NewPerson("lotte", "Lotte", "manager"))
        assert [here.get(path).status_code for path in PAGES] == [401] * 3


def test_figures_are_for_this_machine_or_for_who_shows_the_token(kitchen: Kitchen, tmp_path: Path):
    app = kitchen.by["hand"].app
    assert Asking(app, base_url="http://localhost:8321").get("/metrics").status_code == 200
    behind = Asking(app, base_url="http://127.0.0.1")
    behind.headers = {"X-Forwarded-For": "203.0.113.9"}
    for refused in (Asking(app), kitchen.by["manager"], behind):
        answer = refused.get("/metrics")
        assert (answer.status_code, "commonrack_requests" in answer.text) == (401, False)
    with opened(tmp_path, create_site, metrics_token="a long secret") as found:
        near = "http://127.0.0.1"
        site = found.by["hand"].app
        assert Asking(site, "a long secret").get("/metrics").status_code == 200
        for token in (None, "another", "a long secre"):
            assert Asking(site, token, base_url=near).get("/metrics").status_code == 401
