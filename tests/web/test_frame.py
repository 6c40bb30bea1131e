"""The frame around every page: whose pages stand in it, who reads, how she leaves."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from api.records.people import Role
from api.services.people import COMMAND_LINE, invite
from api.services.roles import ROLES
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import PEOPLE, doing
from tests.served import AUGUST, WEEK, Kitchen
from tests.shelves import FRIDAY
from tests.site import KEY, entered, with_posted
from web.app import create_site
from web.views.navigation import ENTRIES, entries


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("kitchen"), plan) as found:
        yield found


def links(html: str) -> list[str]:
    found = re.search(r'<nav class="pages".*?</nav>', html, re.DOTALL)
    return re.findall(r'href="([^"]+)"', found[0]) if found else []


@pytest.mark.parametrize("role", ROLES)
def test_everybody_has_her_own_pages_and_no_others(kitchen: Kitchen, role: Role):
    asker = entered(kitchen, role)
    own = [each.href for each in entries(doing(PEOPLE[role]))]
    assert links(asker.get("/my-settings").text) == own
    for entry in ENTRIES:
        answer = asker.get(entry.href, follow=True)
        assert (answer.status_code == 200) == (entry.href in own), entry.href


def test_the_page_one_is_on_is_marked(kitchen: Kitchen):
    page = entered(kitchen, "manager").get(f"/weeks/{WEEK}").text
    here = re.findall(r'href="(/[\w-]+)" aria-current="true"', page)
    assert here == ["/weeks", "/weeks"]  # of the pages folded for a telephone, and of those not


def test_the_frame_tells_whose_kitchen_and_who_reads(kitchen: Kitchen):
    page = entered(kitchen, "board").get("/", follow=True).text
    assert f'<a href="/">{AUGUST.kitchen.name}</a>' in page
    assert "Bea Corrow" in page
    assert 'action="/log-out"' in page


def test_the_frame_stays_around_a_fault(kitchen: Kitchen):
    page = entered(kitchen, "hand").get("/day-sheets/2026-01-01")
    assert page.status_code == 404
    assert links(page.text)
    assert "It is here once the week has been laid out and posted." in page.text


def test_our_own_mistake_is_a_page_that_says_what_to_do(kitchen: Kitchen):
    def broken() -> None:
        raise RuntimeError("a wire came loose")

    site = create_site(kitchen.shelf, clock=lambda: FRIDAY, key=KEY)
    site.add_api_route("/broken", broken)
    asker = Asking(site)
    asker.cookies = entered(kitchen, "hand").cookies
    page = asker.get("/broken")
    assert page.status_code == 500
    assert "Nothing was changed. Try again" in page.text
    assert "a wire came loose" not in page.text
    assert links(page.text)


def test_a_link_without_a_password_has_the_pages_that_the_table_gives_it(kitchen: Kitchen):
    odile = kitchen.nobody()
    with kitchen.shelf.writing() as book:
        secret = invite(book, doing(COMMAND_LINE), "odile").secret
    odile.get(f"/invited/{secret}")
    assert "/weeks" not in links(odile.get("/my-settings").text)
    assert odile.ask("POST", "/api/v1/tokens", json={}, headers=HOME).status_code == 403


HOME = {"Origin": "http://kitchen"}


def test_one_may_ask_in_another_language_before_logging_in(kitchen: Kitchen):
    page = kitchen.nobody().get("/log-in", headers={"Accept-Language": "es-MX"}).text
    assert '<html lang="es">' in page
    assert "Contraseña" in page
    assert "Password" not in page


def test_every_page_has_its_policy(kitchen: Kitchen):
    policy = Asking(kitchen.by["hand"].app).get("/log-in").headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
