"""Invoices on their page: every line with its amount and the way to its record; hers alone."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from datetime import date, datetime

import pytest

from api.records.people import Role
from api.services.bills import MonthsBills, months_bills
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import GROWER, MANAGER, doing
from tests.dried import out_of_the_dryer
from tests.served import AUGUST, Kitchen
from tests.site import entered, with_posted, words

MONTH = "/invoices/2026-08"
AFTER = datetime.fromisoformat("2026-08-24T10:00:00-04:00")


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory, plan: Plan) -> Iterator[Kitchen]:
    """R03 was dried on Monday, and a lot of the grower who reads here was at the door."""
    with with_posted(tmp_path_factory.mktemp("invoices"), plan) as found:
        out_of_the_dryer(found)
        hand = found.by["hand"]
        own = next(
            each for each in AUGUST.notes if each.grower_id == "G01" and placed(plan, each.id)
        )
        hand.post("/api/v1/lots", {"note_id": own.id, "weighed_kg": own.field_g / 1000})
        found.now[0] = AFTER
        yield found


def placed(plan: Plan, note_id: str) -> bool:
    return any(charge.note_id == note_id for _, charge in plan.charges())


@pytest.fixture(scope="module")
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def owed(kitchen: Kitchen, who: Role = "manager") -> MonthsBills:
    person = MANAGER if who == "manager" else GROWER
    with kitchen.shelf.reading() as book:
        return months_bills(book, doing(person, AFTER), date(2026, 8, 1))


def dollars(minor: int) -> str:
    return f"US${minor / 100:,.2f}"


def test_the_month_adds_up_and_leads_to_each(kitchen: Kitchen, lotte: Asking):
    assert lotte.get("/invoices").headers["location"] == MONTH
    page = lotte.get(MONTH)
    told, found = words(page.text), owed(kitchen)
    assert len(found.invoices) >= 2
    assert "Invoices, August 2026" in told
    for each in found.invoices:
        assert f'href="{MONTH}/{each.grower_id}"' in page.text
        assert dollars(each.total) in told
    together = sum(each.total for each in found.invoices)
    assert f"together {dollars(together)}" in told


def test_every_line_leads_to_its_record(kitchen: Kitchen, lotte: Asking):
    for invoice in owed(kitchen).invoices:
        page = lotte.get(f"{MONTH}/{invoice.grower_id}").text
        rows = re.findall(r"<tr role=\"row\"><th role=\"rowheader\".*?</tr>", page)
        lines = [row for row in rows if "/lot-card/" in row]
        assert len(lines) == len(invoice.lines)
        for row, line in zip(lines, invoice.lines, strict=True):
            assert dollars(line.amount) in words(row)
            assert line.record in words(row)
            (where,) = re.findall(r'href="([^"]+)"', row)
            card = lotte.get(where)
            assert card.status_code == 200
            assert (line.lot_code or line.note_id) in words(card.text)


def test_all_of_them_with_their_lines_to_print(kitchen: Kitchen, lotte: Asking):
    assert f'href="{MONTH}?lines=yes"' in lotte.get(MONTH).text
    page = lotte.get(f"{MONTH}?lines=yes").text
    found = owed(kitchen).invoices
    assert page.count('class="invoice"') == len(found)
    assert page.count("/lot-card/") == sum(len(each.lines) for each in found)


def test_as_csv_line_by_line(kitchen: Kitchen, lotte: Asking):
    found = owed(kitchen).invoices
    whole = lotte.get(f"{MONTH}/csv")
    assert whole.headers["content-type"].startswith("text/csv")
    rows = list(csv.DictReader(whole.text.lstrip("\ufeff").splitlines()))
    assert [row["record"] for row in rows] == [each.record for i in found for each in i.lines]
    one = found[0]
    alone = lotte.get(f"{MONTH}/{one.grower_id}/csv").text.lstrip("\ufeff")
    amounts = [round(100 * float(row["amount"])) for row in csv.DictReader(alone.splitlines())]
    assert amounts == [each.amount for each in one.lines]


def test_a_grower_reads_her_own_and_no_other(kitchen: Kitchen):
    odile = entered(kitchen, "grower")
    page = odile.get(MONTH)
    (hers,) = owed(kitchen, "grower").invoices
    told = words(page.text)
    assert dollars(hers.total) in told
    assert page.text.count("/lot-card/") == len(hers.lines)
    others = {each.grower_id for each in owed(kitchen).invoices} - {"G01"}
    assert others
    for other in others:
        assert AUGUST.grower(other).farm not in page.text
        assert odile.get(f"{MONTH}/{other}").status_code == 404
        assert odile.get(f"{MONTH}/{other}/csv").status_code == 404
    rows = list(csv.DictReader(odile.get(f"{MONTH}/csv").text.lstrip("\ufeff").splitlines()))
    assert {row["grower"] for row in rows} == {"G01"}
    assert odile.get(f"{MONTH}/G01").status_code == 200
    assert 'href="/invoices"' in page.text


@pytest.mark.parametrize("role", ["hand", "board", "on_call"])
def test_others_read_none(kitchen: Kitchen, role: Role):
    asker = entered(kitchen, role)
    for path in ("/invoices", MONTH, f"{MONTH}/csv", f"{MONTH}/G01", f"{MONTH}/G01/csv"):
        assert asker.get(path).status_code == 403
    assert 'href="/invoices"' not in asker.get("/my-settings").text


def test_a_month_without_anything_and_one_that_is_none(lotte: Asking):
    empty = lotte.get("/invoices/2026-07")
    assert "Nothing is owed for this month." in empty.text
    assert f'href="{MONTH}"' in empty.text
    assert 'rel="next"' not in lotte.get(MONTH).text  # September has not begun
    assert lotte.get("/invoices/2026-13").status_code == 422
    assert lotte.get("/invoices/1026-01").status_code == 422
    assert lotte.get(f"{MONTH}/G99").status_code == 404


def test_in_spanish(lotte: Asking):
    told = words(lotte.get(MONTH, headers={"Accept-Language": "es"}).text)
    assert "Facturas, agosto de 2026" in told
