"""The day ticked off on its page: what each line offers, what is told of it, what is refused."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime
from html import unescape
from pathlib import Path

import pytest

from api.records.people import Role
from api.services.day_to_tick import day_to_tick, key_of
from api.services.outages import down
from scheduler.day_sheet import day_sheet
from scheduler.day_sheet.cautions import ALWAYS, AT_WORK
from scheduler.day_sheet.sheet import Caution
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import HAND, doing
from tests.served import AUGUST, Kitchen, opened
from tests.shelves import fresh_shelf, put
from tests.site import HOME, KEY, entered, with_posted
from web.app import create_site
from web.languages import catalogue
from web.pages.posted import Posted, Taken
from web.pages.pressed import when
from web.views.reading import Reading
from web.views.tick_off import line_id

MONDAY = date(2026, 8, 17)
PATH = f"/tick-off/{MONDAY}"
AUTUMN = AUGUST.kitchen.zone  # its clock goes back on 1 November 2026
EVENING = datetime.fromisoformat("2026-08-17T20:00-04:00")


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=EVENING) as found:
        yield found


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def key(plan: Plan, act: str, code: str) -> str:
    sheet = day_sheet(AUGUST, plan, MONDAY)
    return next(
        key_of(each)
        for each in sheet.lines
        if each.act == act and code in [lot.code for lot in each.lots]
    )


def forms(page: str, named: str) -> list[str]:
    """The forms of that line."""
    every = re.findall(r'<form class="tick-off".*?</form>', page, re.DOTALL)
    return [each for each in every if f'name="key" value="{named}"' in unescape(each)]


def line(page: str, named: str) -> str:
    found = re.search(rf'<li id="{line_id(named)}".*?(?=<li id="line-|<script|</main>)', page,
                      re.DOTALL)  # fmt: skip
    assert found, named
    return unescape(" ".join(re.sub("<[^>]+>", " ", found[0]).split()))


def press(asker: Asking, named: str, said: dict[str, str] | None = None, *, nth: int = 0):
    """Presses the nth form of that line, as it stands on the page."""
    form = forms(asker.get(PATH).text, named)[nth]
    action = re.search(r'action="([^"]+)"', form)
    assert action
    hidden = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', unescape(form)))
    return asker.ask("POST", action[1], data=hidden | (said or {}), headers=HOME)


def test_a_hand_begins_here_and_a_manager_with_the_week(kitchen: Kitchen):
    assert entered(kitchen, "hand").get("/").headers["location"] == "/tick-off"
    assert entered(kitchen, "manager").get("/").headers["location"] == "/weeks"
    first = entered(kitchen, "hand").get("/tick-off")
    assert first.headers["location"] == PATH


@pytest.mark.parametrize(
    ("role", "status"),
    [("manager", 200), ("hand", 200), ("grower", 403), ("board", 403), ("on_call", 403)],
)
def test_whose_page_it_is(kitchen: Kitchen, role: Role, status: int):
    assert entered(kitchen, role).get(PATH).status_code == status
    assert kitchen.nobody().get(PATH).status_code == 401


def test_every_line_of_the_sheet_is_there_in_its_order(sal: Asking, plan: Plan):
    sheet = day_sheet(AUGUST, plan, MONDAY)
    found = re.findall(r'<li id="(line-[^"]+)"', sal.get(PATH).text)
    assert found == [line_id(key_of(each)) for each in sheet.lines]


def test_the_longest_day_is_light_enough_for_a_slow_line(sal: Asking):
    weight = sum(len(sal.get(each).content) for each in (
        "/tick-off/2026-08-18", "/static/house.css", "/static/ticking.css", "/static/ticking.js"
    ))  # fmt: skip
    assert weight < 150_000


def test_one_press_strikes_it_through_with_who_and_when(sal: Asking, plan: Plan):
    wash = key(plan, "wash", "R03")
    answer = press(sal, wash)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"{PATH}#{line_id(wash)}"
    page = sal.get(PATH).text
    assert "Done: Sal Orrin, 20:00" in line(page, wash)
    assert f'id="{line_id(wash)}" tabindex="-1" class="line done"' in page
    assert "1 of 24 done" in page
    assert press(sal, wash).status_code == 303  # take back
    assert "Done: Sal" not in line(sal.get(PATH).text, wash)


def test_it_is_undone_from_the_notice_too(sal: Asking, plan: Plan):
    wash = key(plan, "wash", "R03")
    press(sal, wash)
    notice = re.search(r'<div class="notice" role="status">.*?</div>', sal.get(PATH).text,
                       re.DOTALL)  # fmt: skip
    assert notice
    assert "Ticked off." in notice[0]
    hidden = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', notice[0]))
    assert sal.ask("POST", f"{PATH}/back", data=hidden, headers=HOME).status_code == 303
    assert "Done: Sal" not in line(sal.get(PATH).text, wash)


def test_what_somebody_else_ticked_is_not_offered_to_be_undone(
    sal: Asking, kitchen: Kitchen, plan: Plan
):
    wash, lotte = {"key": key(plan, "wash", "R03")}, entered(kitchen, "manager")
    for each in (sal, lotte):
        assert each.ask("POST", PATH, data=wash, headers=HOME).status_code == 303
    notice = re.search(r'<div class="notice" role="status">.*?</div>', lotte.get(PATH).text,
                       re.DOTALL)  # fmt: skip
    assert notice
    assert "Already ticked off by Sal Orrin." in notice[0]
    assert "<form" not in notice[0]


def test_a_whole_day_of_a_lot(sal: Asking, plan: Plan):
    steps = [
        ("weigh in", {"weight": "36,5"}, "Done: Sal Orrin, 20:00. 36.5 kg, lot 26-229-G"),
        ("start", {"at": "09:55"}, "Done: Sal Orrin, 09:55"),
        ("unload", {"at": "17:50"}, "start"),
        ("unload", {"at": "18:20"}, "Done: Sal Orrin, 18:20"),
    ]
    for act, said, told in steps:
        answer = press(sal, key(plan, act, "R03"), said)
        assert answer.status_code == 303, answer.text
        if told.startswith("Done"):
            assert told in line(sal.get(PATH).text, key(plan, act, "R03"))
    pack = next(each for each in plan.charges() if each[1].note_id == "R03")[1]
    assert pack.after
    tuesday = sal.get("/tick-off/2026-08-18").text
    assert forms(tuesday, "pack R03 P1") == []


def test_baskets_have_a_press_each_and_the_caution_stands_there(sal: Asking, plan: Plan):
    steam = next(key_of(each) for each in day_sheet(AUGUST, plan, MONDAY).lines if each.loads)
    page = sal.get(PATH).text
    baskets = len(forms(page, steam))
    assert baskets > 1
    assert "Steam burns: lid away from the face" in line(page, steam)
    press(sal, steam, nth=1)
    assert line(sal.get(PATH).text, steam).count("Sal Orrin, 20:00") == 1
    assert len(forms(sal.get(PATH).text, steam)) == baskets


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"weight": ""}, "must be filled in"),
        ({"weight": "heavy"}, "must be a number"),
        ({"weight": "0"}, "must be at least 0.001"),
        ({"weight": "1e9"}, "must be at most"),
    ],
)
def test_a_fault_is_told_with_the_form_of_that_line(
    sal: Asking, plan: Plan, said: dict[str, str], fault: str
):
    answer = press(sal, key(plan, "weigh in", "R03"), said)
    assert answer.status_code == 422
    assert fault in answer.text
    assert "Weigh in: R03 oyster mushroom" in answer.text
    assert f'name="key" value="{key(plan, "weigh in", "R03")}"' in unescape(answer.text)
    assert "R03" not in [lot["note_id"] for lot in sal.get("/api/v1/lots").json()]


def test_what_the_book_refuses_is_told(sal: Asking, plan: Plan):
    answer = press(sal, key(plan, "start", "R03"))
    assert answer.status_code == 409
    assert "note R03 is not at the door; weigh it in first" in answer.text
    gone = sal.ask("POST", PATH, data={"key": "wash R99 W1"}, headers=HOME)
    assert gone.status_code == 404
    wrong = sal.ask("POST", PATH, data={"key": key(plan, "start", "R03"), "at": "x"}, headers=HOME)
    assert wrong.status_code == 422


def test_what_must_be_ticked_off_before_is_told_and_where(sal: Asking, plan: Plan):
    unload, start = key(plan, "unload", "R03"), key(plan, "start", "R03")
    page = sal.get(PATH).text
    assert "Its start is not ticked off yet." in line(page, unload)
    assert f'href="{PATH}#{line_id(start)}"' in page
    assert f'id="{line_id(start)}"' in page
    assert forms(page, unload) == []
    tuesday = sal.get("/tick-off/2026-08-18").text
    assert '<p class="waits">It is read once' in tuesday  # no start is ticked off there
    assert "It is read once its run is unloaded." in line(tuesday, "dry check R03 A1")
    assert "It is packed once its dry check is passed." in line(tuesday, "pack R05 P1")
    friday = sal.get("/tick-off/2026-08-21").text
    assert "Its other racks come first" in line(friday, "pack R18 A P1")


def test_what_was_left_on_the_day_before_is_told(sal: Asking, plan: Plan):
    """Who ticks what is washed is free to; runs, weights and bags the book must know."""
    acts = ("weigh in", "start", "end", "unload", "dry check", "pack")
    left = sum(each.act in acts for each in day_sheet(AUGUST, plan, MONDAY).lines)
    assert left > 1
    tuesday = "/tick-off/2026-08-18"
    link = '<a href="/tick-off/2026-08-17">%s lines of Mon 17 Aug are not ticked off</a>'
    assert link % left in sal.get(tuesday).text
    press(sal, key(plan, "wash", "R03"))
    press(sal, key(plan, "weigh in", "R03"), {"weight": "35"})
    assert link % (left - 1) in sal.get(tuesday).text
    assert "not ticked off</a>" not in sal.get(PATH).text


def test_the_same_press_sent_again_is_done_once(sal: Asking, kitchen: Kitchen, plan: Plan):
    said = {"key": key(plan, "wash", "R03"), "once": "k1", "pressed": "2026-08-17T12:20:00.000Z"}
    for _ in range(3):
        assert sal.ask("POST", PATH, data=said, headers=HOME).status_code == 303
    with kitchen.shelf.reading() as book:
        (kept,) = book.happenings.where(kind="ticked")
    assert kept.at == datetime.fromisoformat("2026-08-17T08:20-04:00")


@pytest.mark.parametrize("pressed", ["2026-08-18T12:20:00Z", "2020-01-01T00:00:00Z", "x", ""])
def test_a_clock_gone_wrong_is_not_believed(
    sal: Asking, kitchen: Kitchen, plan: Plan, pressed: str
):
    said = {"key": key(plan, "wash", "R03"), "pressed": pressed}
    assert sal.ask("POST", PATH, data=said, headers=HOME).status_code == 303
    with kitchen.shelf.reading() as book:
        (kept,) = book.happenings.where(kind="ticked")
    assert kept.at == EVENING


@pytest.mark.parametrize(
    ("at", "meant"),
    [("", "2026-08-17T20:00"), ("19:59", "2026-08-17T19:59"), ("20:01", "2026-08-16T20:01")],
)
def test_a_time_of_day_is_the_last_such_before_now(at: str, meant: str):
    taken = Taken(Posted({"at": at}, "", PATH), Reading(zone=AUGUST.kitchen.zone))
    assert when(taken, EVENING) == datetime.fromisoformat(f"{meant}-04:00")


@pytest.mark.parametrize(
    ("now", "at", "meant"),
    [
        ("01:40-05:00", "01:30", "01:30-05:00"),  # the second half past one
        ("01:20-05:00", "01:30", "01:30-04:00"),  # the second has not come yet
        ("01:40-04:00", "01:30", "01:30-04:00"),
        ("09:00-05:00", "01:30", "01:30-05:00"),
        ("09:00-05:00", "00:30", "00:30-04:00"),
    ],
)
def test_an_hour_that_the_clock_tells_twice_is_the_last_such_that_has_come(
    now: str, at: str, meant: str
):
    taken = Taken(Posted({"at": at, "day": "2026-11-01"}, "", PATH), Reading(zone=AUTUMN))
    just = datetime.fromisoformat(f"2026-11-01T{now}")
    told = datetime.fromisoformat(f"2026-11-01T{meant}")
    assert when(taken, just) == taken.moment("day", "at", until=just) == told


def test_isolation_is_told_at_a_dryer_that_is_down(sal: Asking, kitchen: Kitchen, plan: Plan):
    start = key(plan, "start", "R03")
    assert "Isolate and lock off" not in line(sal.get(PATH).text, start)
    with kitchen.shelf.writing() as book:
        stopped = datetime.fromisoformat("2026-08-17T19:05-04:00")
        down(book, doing(HAND, EVENING), start.split()[-2], stopped=stopped, cause="fan")
    found = line(sal.get(PATH).text, start)
    assert "Down since 19:05: fan" in found
    assert "Isolate and lock off before opening a dryer" in found


def test_a_plan_that_is_not_posted_is_not_ticked_off(tmp_path: Path, plan: Plan):
    with opened(tmp_path, create_site, key=KEY) as rough:
        rough.laid_out(plan)
        page = entered(rough, "hand").get(PATH).text
    assert "This plan is not posted" in page
    assert 'class="tick-off"' not in page


def test_without_a_plan_it_says_what_to_do(tmp_path: Path):
    with opened(tmp_path, create_site, key=KEY) as empty:
        page = entered(empty, "hand").get("/tick-off")
    assert (page.status_code, "commonrack demo" in page.text) == (200, True)


def test_in_spanish_no_act_nor_caution_is_english(sal: Asking, kitchen: Kitchen):
    page = sal.get(PATH, headers={"Accept-Language": "es"}).text
    assert "El vapor quema" in page
    for english in ("Steam burns", ">wash<", ">weigh in<", "Done", "Not sent yet"):
        assert english not in page, english


@pytest.mark.parametrize("caution", [AT_WORK["steam"], AT_WORK["unload"], AT_WORK["dry check"],
                                     ALWAYS[0]], ids=lambda each: each.where)  # fmt: skip
def test_cautions_at_hand_can_be_read_in_spanish(caution: Caution):
    assert catalogue("es").gettext(caution.text) != caution.text


def test_what_is_done_agrees_with_the_book(sal: Asking, kitchen: Kitchen, plan: Plan):
    press(sal, key(plan, "weigh in", "R03"), {"weight": "35"})
    with kitchen.shelf.reading() as book:
        found = day_to_tick(book, doing(HAND, EVENING), MONDAY)
    done = [line_id(each.key) for each in found.lines if each.is_done]
    assert (
        re.findall(r'<li id="([^"]+)" tabindex="-1" class="[^"]*done"', sal.get(PATH).text) == done
    )


@pytest.mark.parametrize("path", ["/tick-off", "/at-the-door", "/dry-checks"])
def test_in_a_book_without_people_it_is_for_reading(tmp_path: Path, plan: Plan, path: str):
    with fresh_shelf(tmp_path) as shelf:
        put(shelf, AUGUST, plan)
        reader = Asking(create_site(shelf), base_url="http://127.0.0.1")
        found = reader.get(path, follow=True)
        assert reader.get("/").headers["location"] == "/weeks"
    assert found.status_code == 200
    assert "<form" not in found.text
