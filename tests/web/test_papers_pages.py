"""Papers in order on pages: what is short, till when, and a paper that was seen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import httpx
import pytest

from api.records.house import Helper
from api.records.plans import STANDS
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.served import WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import HOME, KEY, entered, send, with_posted, words
from web.app import create_site

PAGE = "/papers"
ABOUT = {"kind": "liability insurance"}
INSURANCE = f"{PAGE}/growers/G04?kind=liability+insurance"


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def held(kitchen: Kitchen, grower_id: str, kind: str) -> date | None:
    with kitchen.shelf.reading() as book:
        found = book.papers.last(grower_id=grower_id, kind=kind)
    assert found is not None
    return found.until


def undone(lotte: Asking, page: str) -> httpx.Response:
    """The Undo of that page pressed."""
    found = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert found
    action = re.search(r'action="([^"]+)"', found[0])
    assert action
    said = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', found[0]))
    return lotte.ask("POST", action[1], data=said, headers=HOME)


def test_what_cannot_be_firm_is_told_with_what_is_short(lotte: Asking):
    page = lotte.get(PAGE).text
    (box,) = re.findall(r'<section class="decide".*?</section>', page, re.DOTALL)
    assert re.findall(r'href="/harvest-notes/(\w+)"', box) == [
        "R11", "R13", "R14", "R18", "R25", "R26",
    ]  # fmt: skip
    assert "R26 zucchini , Meike Tarrick, Fri 21 Aug, 09:00: liability insurance ended" in words(
        box
    )


def test_what_is_short_comes_first_and_what_ends_soon_next(lotte: Asking):
    page = lotte.get(PAGE).text
    names = re.findall(r"<h3>([GR]\d\d) ", page)
    assert names[:3] == ["G08", "G10", "G04"]
    assert names[3:] == sorted(names[3:])
    assert "liability insurance 20 Aug 2026 6 days left" in words(page)
    assert "process letter missing" in words(page)
    assert "chili process letter pending" in words(page).replace("paper last day state renew ", "")
    assert re.search(r'class="soon">6 days left<', page)


def test_a_paper_that_was_seen_puts_its_notes_in_order_and_can_be_undone(
    lotte: Asking, kitchen: Kitchen
):
    answer = send(lotte, INSURANCE, {"kind": "liability insurance", "until": "2027-08-20"},
                  form=f"{PAGE}/growers/G04")  # fmt: skip
    assert (answer.status_code, answer.headers["location"]) == (303, PAGE)
    assert held(kitchen, "G04", "liability insurance") == date(2027, 8, 20)
    page = lotte.get(PAGE).text
    assert "liability insurance: written down." in page
    assert "/harvest-notes/R26" not in page
    undone(lotte, page)
    assert held(kitchen, "G04", "liability insurance") == date(2026, 8, 20)
    assert "liability insurance: as it was before." in lotte.get(PAGE).text


def test_an_undo_restores_who_saw_it_and_when(lotte: Asking, kitchen: Kitchen):
    with kitchen.shelf.writing() as book:
        found = book.papers.last(grower_id="G04", kind="liability insurance")
        assert found is not None
        before = replace(found, seen_by="sal", seen_at=FRIDAY - timedelta(days=300))
        book.papers.replace(before)
    where = f"{PAGE}/growers/G04"
    send(lotte, INSURANCE, {"until": "2027-08-20"} | ABOUT, form=where)
    undone(lotte, lotte.get(PAGE).text)
    with kitchen.shelf.reading() as book:
        assert book.papers.last(grower_id="G04", kind="liability insurance") == before


def test_an_old_undo_leaves_a_later_renewal_alone(lotte: Asking, kitchen: Kitchen):
    where = f"{PAGE}/growers/G04"
    send(lotte, INSURANCE, {"until": "2027-08-20"} | ABOUT, form=where)
    old = lotte.get(PAGE).text
    send(lotte, INSURANCE, {"until": "2028-08-20"} | ABOUT, form=where)
    refused = undone(lotte, old)
    assert (refused.status_code, "Somebody changed it meanwhile" in refused.text) == (412, True)
    assert held(kitchen, "G04", "liability insurance") == date(2028, 8, 20)
    for deed in ("1", "999"):
        answer = lotte.ask("POST", f"{where}/undo", data={"deed": deed}, headers=HOME)
        assert answer.status_code == 404


def test_one_that_was_missing_is_missing_again_after_an_undo(lotte: Asking, kitchen: Kitchen):
    where = f"{PAGE}/growers/G08"
    send(lotte, f"{where}?kind=process+letter", {"kind": "process letter", "until": "2027-01-31"},
         form=where)  # fmt: skip
    assert held(kitchen, "G08", "process letter") == date(2027, 1, 31)
    undone(lotte, lotte.get(PAGE).text)
    assert held(kitchen, "G08", "process letter") is None


def test_a_helper_has_done_no_orientation_until_it_was_seen(lotte: Asking, kitchen: Kitchen):
    with kitchen.shelf.writing() as book:
        book.helpers.add(Helper("G01", "Pim", FRIDAY))
    page = lotte.get(PAGE).text
    assert "orientation of Pim missing" in words(page)
    where = f"{PAGE}/growers/G01"
    assert f"{where}?kind=orientation&amp;helper=Pim" in page
    form = lotte.get(f"{where}?kind=orientation&helper=Pim").text
    assert '<option value="Pim" selected>' in form
    said = {"kind": "orientation", "helper": "Pim", "until": "2027-03-31"}
    send(lotte, where, said)
    assert "orientation of Pim 31 Mar 2027" in words(lotte.get(PAGE).text)


def test_a_name_becomes_a_new_helper_only_on_purpose(lotte: Asking, kitchen: Kitchen):
    where = f"{PAGE}/growers/G01"

    def helpers() -> list[str]:
        with kitchen.shelf.reading() as book:
            return [each.name for each in book.helpers.where(grower_id="G01")]

    said = {"kind": "orientation", "until": "2027-03-31"}
    before = helpers()
    mistaken = send(lotte, where, said | {"helper": "Pimm"})
    assert (mistaken.status_code, helpers()) == (422, before)
    assert 'id="helper-fault">must be chosen' in mistaken.text
    assert send(lotte, where, said | {"helper": "", "another": "Pim"}).status_code == 303
    assert helpers() == [*before, "Pim"]
    both = send(lotte, where, said | {"helper": "Pim", "another": "Ann"})
    assert (both.status_code, helpers()) == (422, [*before, "Pim"])
    assert 'id="another-fault">choose one or name a new one' in both.text


def test_a_letter_for_a_card_is_written_down(lotte: Asking, kitchen: Kitchen):
    where = f"{PAGE}/cards/chili"
    bad = send(lotte, where, {"letter": "", "until": "soon"})
    assert bad.status_code == 422
    assert 'id="letter-fault">must be filled in' in bad.text
    assert 'id="until-fault">must be a day' in bad.text
    answer = send(lotte, where, {"letter": "letter of 3 March, no. 12", "until": ""})
    assert answer.status_code == 303
    page = lotte.get(PAGE).text
    assert "The letter for chili is written down." in page
    assert "letter of 3 March, no. 12" in page
    assert "/harvest-notes/R14" not in page


@pytest.mark.parametrize(
    ("said", "field", "fault"),
    [
        ({"kind": "", "until": "2027-01-01"}, "kind", "must be filled in"),
        ({"kind": "insurance", "until": ""}, "until", "must be filled in"),
        ({"kind": "x" * 81, "until": "2027-01-01"}, "kind", "must have at most 80"),
    ],
)
def test_a_fault_stands_at_its_field(lotte: Asking, said: dict[str, str], field: str, fault: str):
    answer = send(lotte, f"{PAGE}/growers/G01", said)
    assert answer.status_code == 422
    assert f'id="{field}-fault">{fault}' in answer.text


def test_there_is_no_such_grower_or_card(lotte: Asking):
    assert lotte.get(f"{PAGE}/growers/G99").status_code == 404
    assert lotte.get(f"{PAGE}/cards/gold").status_code == 404


@pytest.mark.parametrize("path", [PAGE, f"{PAGE}/growers/G01", f"{PAGE}/cards/chili"])
@pytest.mark.parametrize("role", ["hand", "grower", "board", "on_call"])
def test_it_is_the_managers_alone(kitchen: Kitchen, role: str, path: str):
    assert entered(kitchen, role).get(path).status_code == 403  # type: ignore[arg-type]


def test_papers_that_end_are_answered_at_once_with_the_turns_they_touch(tmp_path: Path, plan: Plan):
    with with_posted(tmp_path, plan) as kitchen:
        lotte = entered(kitchen, "manager")
        with kitchen.shelf.reading() as book:
            turn = book.turns.where(state=STANDS)[0]
        where = f"{PAGE}/growers/{turn.whose}"
        ended = send(lotte, where, ABOUT | {"until": "2026-08-16"})
        assert ended.headers["location"] == PAGE
        page = lotte.get(PAGE).text
        told = re.search(r"liability insurance: written down. Not firm by rule 15: ([^.]+)", page)
        assert told
        assert turn.note_id in told[1]
        (box,) = re.findall(r'<section class="decide".*?</section>', page, re.DOTALL)
        short = "liability insurance ended Sunday 16 August"
        assert re.search(rf"{turn.note_id} [^:]+, [^:]+:\d\d: {short} (brings|packs)", words(box))
        assert f"/re-lay?week={WEEK}" in box
        with kitchen.shelf.reading() as book:
            assert turn in book.turns.where(state=STANDS)


def test_a_paper_is_missing_only_when_that_is_said(lotte: Asking, kitchen: Kitchen):
    where = f"{PAGE}/growers/G04"
    empty = send(lotte, INSURANCE, ABOUT | {"until": ""}, form=where)
    both = send(lotte, INSURANCE, ABOUT | {"until": "2027-01-01", "missing": "yes"}, form=where)
    assert (empty.status_code, both.status_code) == (422, 422)
    assert "choose a last day or that it is missing, not both" in words(both.text)
    assert held(kitchen, "G04", "liability insurance") == date(2026, 8, 20)
    send(lotte, INSURANCE, ABOUT | {"until": "", "missing": "yes"}, form=where)
    assert held(kitchen, "G04", "liability insurance") is None
    page = lotte.get(PAGE).text
    assert "liability insurance missing" in words(page)
    undone(lotte, page)
    assert held(kitchen, "G04", "liability insurance") == date(2026, 8, 20)
