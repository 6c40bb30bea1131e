"""The pages show what the plan says, and tell what to do where there is none."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from api.store import DatabaseShelf
from scheduler.day_sheet import day_sheet
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Week
from scheduler.scenario import load
from tests.asking import Asking
from tests.lent import lent
from tests.needs import has_pango
from tests.printed_plan import printed_plan
from tests.shelves import fresh_shelf, put
from tests.worked_day import worked_day
from web.app import create_site
from web.pages.paper import TEMPLATES
from web.views.page import Page
from web.views.scale import fitting

WEEK, TUESDAY = "/weeks/2026-W34", "/day-sheets/2026-08-18"


@pytest.fixture(scope="module")
def august() -> Asked:
    return load("august")


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[DatabaseShelf]:
    with fresh_shelf(tmp_path) as found:
        yield found


@pytest.fixture
def site(shelf: DatabaseShelf) -> Iterator[Asking]:
    with lent(create_site, shelf, lambda: datetime.now(UTC)) as app:
        yield Asking(app, base_url="http://127.0.0.1")


class Words(HTMLParser):
    """What a page says, without its marks."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.said: list[str] = []
        self.feed(html)

    def handle_data(self, data: str) -> None:
        self.said.append(data)

    def __str__(self) -> str:
        return " ".join(" ".join(self.said).split())


def test_an_empty_kitchen_is_told_what_to_do(site: Asking):
    answer = site.get("/", follow=True)
    assert answer.status_code == 200
    assert "No plan yet" in answer.text
    assert "commonrack demo" in answer.text


def test_the_first_page_is_the_week_laid_out_last(
    site: Asking, shelf: DatabaseShelf, august: Asked
):
    put(shelf, august, printed_plan(august))
    answer = site.get("/", follow=True)
    assert (answer.status_code, answer.url.path) == (200, WEEK)


def test_week_opens_with_its_four_figures(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, worked_day(august))
    words = str(Words(site.get(WEEK).text))
    assert "of 1,208 kg prepared weight rescued; 2 of 26 notes whole, 1 more in part" in words
    assert "at most left to win: 12 % of the proven bound, 210 kg 24.2 kg" in words
    assert "against the whiteboard plan, 150 kg + 35.8 kg" in words
    assert "of 11,592 rack-hours loaded, 7.4 % 858" in words


def test_week_shows_every_run_in_strips_and_table(
    site: Asking, shelf: DatabaseShelf, august: Asked
):
    plan = printed_plan(august)
    put(shelf, august, plan)
    page = site.get(WEEK).text
    assert page.count('<rect class="block"') == 25 + 5  # charges, and one for each group's key
    assert page.count('class="hold"') == sum(run.released > run.end for run in plan.runs)
    assert page.count('<td class="time">') == len(plan.runs)
    assert "1,263 of 2,520" in page
    assert "R15 onion, 19; R01 onion, 21" in page


def test_strips_are_drawn_to_scale(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, printed_plan(august))
    page = site.get(WEEK).text
    blocks = re.findall(
        r"<title>(.*?)</title>\s*<rect class=\"block\" x=\"([\d.]+)\" y=\"[\d.]+\" "
        r"width=\"([\d.]+)\" height=\"([\d.]+)\"",
        page,
    )
    area = sum(float(width) * float(height) for _, _, width, height in blocks)
    assert area / (9.0 * 3.6) == pytest.approx(5_909)  # the inked area is the rack-hours


def test_waiting_list_tells_rule_and_remedy(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, worked_day(august))
    words = str(Words(site.get(WEEK).text))
    assert "R11 zucchini, Luntshaw Gardens, 42 kg: All three tables are taken" in words
    assert "It would fit with one more table on Tuesday morning." in words
    assert "(Proved by laying out with it.)" in words


def test_weeks_lead_to_the_weeks_beside_them(site: Asking, shelf: DatabaseShelf, august: Asked):
    for number in (33, 34, 36):
        moved = replace(august, week=Week(2026, number))
        put(shelf, moved, replace(printed_plan(august), week=moved.week, runs=(), waiting=()))
    page = site.get(WEEK).text
    assert 'rel="prev" href="/weeks/2026-W33"' in page
    assert 'rel="next" href="/weeks/2026-W36"' in page


def test_day_sheet_has_every_line_of_the_sheet(site: Asking, shelf: DatabaseShelf, august: Asked):
    plan = worked_day(august)
    put(shelf, august, plan)
    page = site.get(TUESDAY).text
    words = str(Words(page))
    sheet = day_sheet(august, plan, date(2026, 8, 18))
    assert page.count('class="box"') == len(sheet.lines)
    assert page.count('class="changes"') == sum(line.changes_dryer for line in sheet.lines) == 5
    for said in (
        "Tuesday 18 August",
        "Pencilled ; plan",
        "Davit Kessane, pair 08:00 brings R09, 08:05–10:30 prepares R09",  # noqa: RUF001 as printed
        "11:08:30–11:11",  # noqa: RUF001 as printed
        "D3 R09 tomato, Kessane Rows: ends Wed 02:15, cool hold to Wed 07:00",
        "On call: Jun Ferrow, 555-0101",
        "Steam burns",
        "Due today without a place",
    ):
        assert said in words, said


def test_day_sheets_lead_to_each_other(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, worked_day(august))
    page = site.get(TUESDAY).text
    assert 'rel="prev" href="/day-sheets/2026-08-17"' in page
    assert 'rel="next" href="/day-sheets/2026-08-19"' in page
    assert 'href="/day-sheets/2026-08-18" aria-current="page"' in page
    monday = site.get("/day-sheets/2026-08-24").text
    assert 'rel="next"' not in monday


def test_every_link_leads_somewhere(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, printed_plan(august))
    seen: set[str] = set()
    kinds: set[str] = set()
    ahead = ["/"]
    while ahead:
        path = ahead.pop()
        seen.add(path)
        kind = re.sub("[0-9]+", "0", path)
        if path.endswith("/pdf") and kind in kinds:
            continue  # setting one of a kind takes seconds
        kinds.add(kind)
        answer = site.get(path, follow=True)
        told = 501 if path.endswith("/pdf") and not has_pango() else 200
        assert answer.status_code == told, path
        links = re.findall(r'href="(/[^"]*)"', answer.text)
        ahead += [link for link in dict.fromkeys(links) if link not in {*seen, *ahead}]
    assert {f"/day-sheets/{day}" for day in august.days} <= seen


def test_a_closed_day_says_so(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, printed_plan(august))
    assert "The kitchen is closed." in site.get(f"/day-sheets/{date(2026, 8, 23)}").text


@pytest.mark.parametrize(
    ("path", "status", "told"),
    [
        ("/weeks/2026-W20", 404, "no plan of 2026-W20 has been laid out"),
        ("/day-sheets/2026-05-01", 404, "no plan that covers 2026-05-01 has been laid out"),
        ("/weeks/next", 422, "write it like 2026-W34"),
        ("/nowhere", 404, "There is no page at this address."),
    ],
)
def test_errors_are_pages_for_people(site: Asking, path: str, status: int, told: str):
    answer = site.get(path)
    assert answer.status_code == status
    assert answer.headers["content-type"].startswith("text/html")
    assert told in str(Words(answer.text))
    assert site.get(f"/api/v1{path}").headers["content-type"] == "application/problem+json"


def test_what_people_write_is_never_markup(site: Asking, shelf: DatabaseShelf, august: Asked):
    notes = tuple(replace(note, remark="<script>alert(1)</script>") for note in august.notes)
    growers = tuple(replace(each, farm="<b>Farm</b>") for each in august.growers)
    put(shelf, replace(august, notes=notes, growers=growers), worked_day(august))
    for path in (WEEK, TUESDAY):
        page = site.get(path).text
        assert "<script" not in page
        assert "<b>Farm" not in page


@pytest.mark.parametrize("path", [WEEK, "/static/house.css", "/nowhere", "/api/openapi.json"])
def test_foreign_content_is_kept_out(site: Asking, path: str):
    policy = site.get(path).headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy


@pytest.mark.parametrize("path", [WEEK, "/nowhere", "/api/v1/me", "/health"])
def test_no_cache_on_the_way_keeps_what_is_somebodys(site: Asking, path: str):
    assert site.get(path).headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize("template", sorted({kind.template for kind in Page.__subclasses__()}))
def test_each_page_shows_all_that_its_value_holds(template: str):
    text = (TEMPLATES / template).read_text()
    for macro in re.findall(r"{{ (\w+)\(page\) }}", text):
        part = (TEMPLATES / f"_{macro}.html").read_text()
        (own,) = re.findall(rf"macro {macro}\((\w+)", part)
        text += part.replace(f"{own}.", "page.")
    for included in re.findall(r'{% include "(\w+\.html)" %}', text):
        text += (TEMPLATES / included).read_text()
    kinds: list[Any] = [each for each in Page.__subclasses__() if each.template == template]
    for kind in kinds:
        for field in fields(kind):
            shown = "page, " if field.name in LINKS else f"page.{field.name}"
            assert shown in text, field.name


LINKS = {"day_links", "previous", "following"}  # the days macro shows them, given the page


def test_pages_are_light(site: Asking, shelf: DatabaseShelf, august: Asked):
    put(shelf, august, printed_plan(august))
    styles = len(site.get("/static/house.css").content)
    for path in (WEEK, TUESDAY):
        assert len(site.get(path).content) + styles < 150_000


@pytest.mark.parametrize(
    ("name", "width", "shown"),
    [("kale", 60, "kale"), ("oyster mushroom", 60, "mushroom"), ("zucchini", 40, "zucc.")],
)
def test_crop_names_give_way_to_their_room(name: str, width: float, shown: str):
    assert fitting(name, width) == shown


def test_weights_follow_the_kitchens_unit(site: Asking, shelf: DatabaseShelf, august: Asked):
    pounds = replace(
        august, kitchen=replace(august.kitchen, weight_unit="lb", temperature_unit="F")
    )
    put(shelf, pounds, worked_day(august))
    words = str(Words(site.get(TUESDAY).text)).replace("\N{NO-BREAK SPACE}", " ")
    assert "276 lb" in words  # 125 kg
    assert "135 °F" in words  # 57 C
