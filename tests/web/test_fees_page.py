"""What each lot costs is found from the week's page: line by line, and added up by grower."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from api.records.people import Role
from api.records.plans import From
from api.services.asking import asked_of
from api.services.plans import keep
from api.services.weeks import week_entry
from api.store import DatabaseShelf
from scheduler.answer.bills import bills
from scheduler.domain.outage import Happened, StartedCharge, StartedRun
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.served import AUGUST, WEEK, Kitchen
from tests.shelves import FRIDAY, fresh_shelf, put
from tests.site import entered, with_posted, words
from web.app import create_site

FEES = f"/fees/{WEEK}"
AMOUNT = re.compile(r"US\$([\d,]+\.\d\d)")


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("fees"), plan) as found:
        yield found


@pytest.fixture(scope="module")
def under_way(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    """A run of G01's has started, and a second plan is posted, made without what is in it."""
    with with_posted(tmp_path_factory.mktemp("again"), plan) as found:
        hers = {note.id for note in AUGUST.notes if note.grower_id == "G01"}
        run = next(run for run, charge in plan.charges() if charge.note_id in hers)
        held = tuple(StartedCharge(each.note_id, each.racks) for each in run.charges)
        started = StartedRun(run.dryer_id, run.set_point_c, run.start, run.end, held)
        gone = {each.note_id for each in held}
        runs = (
            replace(run, charges=tuple(each for each in run.charges if each.note_id not in gone))
            for run in plan.runs
        )
        later = replace(plan, runs=tuple(run for run in runs if run.charges))
        with found.shelf.writing() as book:
            entry = week_entry(book, AUGUST.week)
            assert entry.posted is not None
            asked = asked_of(book, AUGUST.week, now=FRIDAY)
            asked = replace(asked, happened=Happened(run.start, (started,)))
            origin = From(entry.notes_version, entry.posted, "lotte")
            number = keep(book.plans, asked, later, laid_out_at=FRIDAY, origin=origin)
            book.plans.set_state(entry.posted, "closed")
            book.plans.set_state(number, "posted")
            book.weeks.replace(replace(entry, posted=number))
        yield found


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[DatabaseShelf]:
    """A book that holds a plan and nobody, as after `commonrack demo`."""
    with fresh_shelf(tmp_path_factory.mktemp("demo")) as shelf:
        put(shelf, AUGUST, plan)
        yield shelf


def dollars(minor: int) -> str:
    """As an English reader is told them."""
    return f"US${minor / 100:,.2f}"


def section(page: str, grower: str) -> str:
    found = re.search(rf'<section class="fees" id="{grower}".*?(?=<section class="fees"|</main>)',
                      page, re.DOTALL)  # fmt: skip
    assert found
    return found[0]


def test_in_the_demos_book_it_is_one_press_from_the_week(demo: DatabaseShelf, plan: Plan):
    asker = Asking(create_site(demo), base_url="http://127.0.0.1")
    assert f'href="{FEES}"' in asker.get(f"/weeks/{WEEK}").text
    page = asker.get(FEES).text
    bill = next(each for each in bills(AUGUST, plan) if each.grower.id == "G11")
    assert bill.fees > 0
    said = words(section(page, "G11"))
    assert said.startswith(f"G11 Kessane Rows, Davit Kessane: {dollars(bill.fees)}")
    assert "arrives Tue 18 Aug, 08:00" in said  # R09 must come then
    assert "at work Tue 18 Aug, 17:55 to 19:00 at work Wed 19 Aug, 07:00 to 09:05" in said
    for lot in bill.lots:
        for line in lot.price.lines:
            assert dollars(line.amount) in said


def test_every_bill_is_the_sum_of_its_lines(kitchen: Kitchen):
    page = entered(kitchen, "manager").get(FEES).text
    bodies = re.findall(r"<tbody>(.*?)</tbody>\s*<tfoot>(.*?)</tfoot>", page, re.DOTALL)
    assert len(bodies) > 10
    for lines, foot in bodies:
        amounts = [Decimal(each) for each in re.findall(r'class="number">US\$([\d.]+)', lines)]
        assert [sum(amounts)] == [Decimal(each) for each in AMOUNT.findall(foot)]


def test_the_growers_add_up_to_the_week(kitchen: Kitchen, plan: Plan):
    page = words(entered(kitchen, "hand").get(FEES).text)
    every = bills(AUGUST, plan)
    assert [each.grower.id for each in every] == sorted({note.grower_id for note in AUGUST.notes})
    together = sum(each.fees for each in every)
    assert f"together {dollars(together)}" in page


def test_what_waits_costs_nothing_and_says_so(kitchen: Kitchen, plan: Plan):
    page = entered(kitchen, "manager").get(FEES).text
    whole = [note for each in bills(AUGUST, plan) for note in each.unplaced]
    assert whole
    for note in whole:
        assert f"{note.id} {AUGUST.card(note.card_id).name} has no place" in page


def test_a_grower_reads_her_own_of_a_posted_plan_only(kitchen: Kitchen):
    odile = entered(kitchen, "grower")
    assert f'href="{FEES}"' in odile.get("/my-lots").text
    page = odile.get(FEES).text
    assert 'id="G01"' in page
    for other in AUGUST.growers:
        assert other.id == "G01" or (other.farm not in page and f'id="{other.id}"' not in page)
    assert "together" not in page
    assert odile.get("/fees/2026-W33").status_code == 404


def test_of_a_plan_not_posted_yet_no_grower_reads(kitchen: Kitchen, plan: Plan):
    number = kitchen.laid_out(replace(plan, seed=2))
    assert kitchen.by["manager"].get(f"/plans/{number}/fees").status_code == 200
    assert kitchen.by["grower"].get(f"/plans/{number}/fees").status_code == 404
    hers = kitchen.by["grower"].get(f"/api/v1/weeks/{WEEK}/fees").json()
    assert (hers["plan"], hers["state"]) == (None, "posted")
    assert [each["grower_id"] for each in hers["growers"]] == ["G01"]


@pytest.mark.parametrize("role", ["board", "on_call"])
def test_others_read_none(kitchen: Kitchen, role: Role):
    assert kitchen.by[role].get(FEES).status_code == 403


def test_the_lot_card_has_them_line_by_line(kitchen: Kitchen, plan: Plan):
    lot = next(each for one in bills(AUGUST, plan) for each in one.lots)
    card = words(entered(kitchen, "hand").get(f"/lot-card/{lot.note.id}").text)
    assert f"Price: {dollars(lot.price.fees)}" in card
    assert all(dollars(line.amount) in card for line in lot.price.lines)


def test_without_a_place_the_lot_card_names_none(kitchen: Kitchen, plan: Plan):
    note = next(note for one in bills(AUGUST, plan) for note in one.unplaced)
    assert "Price:" not in entered(kitchen, "hand").get(f"/lot-card/{note.id}").text


def test_a_lot_under_way_keeps_the_bill_of_the_plan_that_placed_it(under_way: Kitchen, plan: Plan):
    before = next(each for each in bills(AUGUST, plan) if each.grower.id == "G01")
    page = entered(under_way, "grower").get(FEES).text
    assert dollars(before.fees) in words(section(page, "G01"))
    assert "under way" not in page
    hers = under_way.by["grower"].get(f"/api/v1/weeks/{WEEK}/fees").json()["growers"][0]
    assert (hers["fees"], hers["under_way"]) == (before.fees, [])
    every = under_way.by["manager"].get(f"/api/v1/weeks/{WEEK}/fees").json()["growers"]
    assert sum(each["fees"] for each in every) == sum(each.fees for each in bills(AUGUST, plan))


def test_a_lot_card_keeps_it_too(under_way: Kitchen, plan: Plan):
    before = next(each for each in bills(AUGUST, plan) if each.grower.id == "G01")
    for lot in before.lots:
        card = words(entered(under_way, "hand").get(f"/lot-card/{lot.note.id}").text)
        assert f"Price: {dollars(lot.price.fees)}" in card
