"""Rack labels of a day, the codes on them, and the lot card that they open."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import segno

from api.records.people import Role
from api.services.rack_labels import DayLabels, rack_labels
from scheduler.domain.part_lot import Discarded, GoesOn, PartLot
from scheduler.domain.plan import Plan
from scheduler.units import Grams, Racks, Seconds
from tests.asking import Asking
from tests.book import HAND, doing
from tests.served import AUGUST, Kitchen
from tests.site import entered, with_posted, words
from web.views.labels import QUIET, labels_page, qr
from web.views.reading import Reading

LABELS = "/day-sheets/2026-08-18/labels"
TUESDAY = date(2026, 8, 18)
MORNING = datetime(2026, 8, 18, 12, 10, tzinfo=UTC)


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=MORNING) as found:
        yield found


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def labels(html: str) -> list[str]:
    found = re.search(r'<ul class="labels">.*</ul>', html, re.DOTALL)
    return [words(each) for each in re.findall(r"<li>(.*?)</li>", found[0], re.DOTALL)]  # type: ignore[index]


def of_the_day(plan: Plan) -> list[tuple[str, str, int, int]]:
    """Code, dryer, first and last rack of each charge whose run starts on Tuesday."""
    return [
        (charge.code, run.dryer_id, charge.first_rack, charge.first_rack + charge.racks - 1)
        for run, charge in plan.charges()
        if run.start.astimezone(AUGUST.kitchen.zone).date() == TUESDAY
    ]


def test_each_lot_of_the_days_runs_has_its_label(sal: Asking, plan: Plan):
    found, expected = labels(sal.get(LABELS).text), of_the_day(plan)
    assert len(found) == len(expected) > 2
    for (code, dryer, first, last), text in zip(expected, found, strict=True):
        note = AUGUST.note(code.split()[0])
        grower = AUGUST.grower(note.grower_id)
        crop = AUGUST.card(note.card_id).name
        assert text.startswith(f"{code} {crop} {grower.farm} {grower.name}")
        assert f"{dryer} racks {first} to {last}" in text


def test_or_each_rack_has_its_own(sal: Asking, plan: Plan):
    found = labels(sal.get(f"{LABELS}?each=rack").text)
    places = [f"{dryer} rack {rack}" for _, dryer, first, last in of_the_day(plan)
              for rack in range(first, last + 1)]  # fmt: skip
    assert len(found) == len(places)
    assert all(place in text for place, text in zip(places, found, strict=True))
    assert len(places) > len(of_the_day(plan))


def test_once_weighed_in_it_bears_the_lot_code(sal: Asking, kitchen: Kitchen, plan: Plan):
    note_id = of_the_day(plan)[-1][0]
    lot = kitchen.by["hand"].post("/api/v1/lots", {"note_id": note_id, "weighed_kg": 44}).json()
    page = sal.get(LABELS).text
    assert labels(page)[-1].startswith(lot["code"])
    assert f"http://kitchen/lot-card/{lot['code']}" in page
    assert note_id in labels(page)[-1]


def drawn(dark: str, size: int) -> list[list[int]]:
    """The modules that a drawing blackens, row by row."""
    found = [[0] * size for _ in range(size)]
    for column, row, length, back in re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", dark):
        assert length == back
        for each in range(int(length)):
            found[int(row)][int(column) + each] = 1
    return found


@pytest.mark.parametrize("text", ["http://kitchen/lot-card/26-230-G11-TOM", "x", "y" * 200])
def test_the_drawing_is_the_code_with_its_blank_around(text: str):
    code = qr(text)
    matrix = segno.make(text, error="m", micro=False).matrix
    size = len(matrix)
    assert code.size == size + 2 * QUIET
    modules = drawn(code.dark, code.size)
    inside = [line[QUIET:-QUIET] for line in modules[QUIET:-QUIET]]
    assert inside == [[int(module) for module in line] for line in matrix]
    assert sum(map(sum, modules)) == sum(map(sum, inside))


def test_the_code_on_a_label_is_that_of_its_address(sal: Asking):
    page = sal.get(LABELS).text
    said = re.findall(r'aria-label="Code that opens ([^"]+)".*?class="dark" d="([^"]+)"', page)
    assert said
    assert all(qr(address).dark == dark for address, dark in said)
    assert all(address.startswith("http://kitchen/lot-card/") for address, _ in said)


def test_each_code_opens_its_lot_card(sal: Asking):
    addresses = re.findall(r"Code that opens http://kitchen([^\"]+)", sal.get(LABELS).text)
    for address in addresses:
        assert sal.get(address).status_code == 200, address


def test_a_machine_that_no_telephone_can_open_is_named(kitchen: Kitchen, sal: Asking):
    told = "which no telephone can open"
    assert told not in sal.get(LABELS).text
    near = Asking(sal.app, base_url="http://127.0.0.1")
    near.headers = kitchen.by["hand"].headers
    near.cookies.set("commonrack", dict(sal.cookies)["commonrack"], domain="127.0.0.1", path="/")
    assert told in near.get(LABELS).text


def test_a_day_without_a_run_says_so(sal: Asking):
    assert "nothing to label" in sal.get("/day-sheets/2026-08-23/labels").text
    assert sal.get("/day-sheets/2026-01-06/labels").status_code == 404


def test_the_day_sheet_leads_there(kitchen: Kitchen, sal: Asking):
    assert f'href="{LABELS}"' in sal.get("/day-sheets/2026-08-18").text
    assert LABELS not in entered(kitchen, "grower").get("/day-sheets/2026-08-18").text


@pytest.mark.parametrize("role", ["grower", "board", "on_call"])
def test_labels_are_for_the_house(kitchen: Kitchen, role: Role):
    assert entered(kitchen, role).get(LABELS).status_code == 403


def test_the_card_tells_whose_where_and_what_happened(sal: Asking, kitchen: Kitchen):
    before = words(sal.get("/lot-card/R02").text)
    assert "tomato, 120 kg Lot card. Note R02, not weighed in yet Firm" in before
    assert "Nothing yet: it has not come to the door." in before
    hand = kitchen.by["hand"]
    lot = hand.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 118}).json()
    kitchen.now[0] += timedelta(hours=1)
    hand.post(f"/api/v1/lots/{lot['code']}/pack", {"bags": 71}, headers={"If-Match": '"1"'})
    page = words(sal.get(f"/lot-card/{lot['code']}").text)
    assert f"tomato, 118 kg Lot card. Lot {lot['code']} Packed" in page
    assert "Quillet Acre, Odile Farrant" in page
    assert "08:10: weighed in: 118 kg, told as 120 kg (Sal Orrin)" in page
    assert "09:10: packed: bags: 71 (Sal Orrin)" in page
    assert re.search(r"R02( A)? in D\d, racks 1 to \d+, 57 °C: ", page)
    assert words(sal.get("/lot-card/R02").text) == page


def test_the_card_tells_what_a_person_decided_after_a_stop(
    sal: Asking, monkeypatch: pytest.MonkeyPatch
):
    stop, who = datetime.fromisoformat("2026-08-17T10:55:00-04:00"), "Lotte Amberry"
    at = stop + timedelta(hours=4, minutes=35)
    gone = PartLot("R02", "A", Racks(10), Grams(9_000), "D2", stop, Seconds(3600), 60.0)
    kept = replace(gone, letter="B", racks=Racks(1), goes_on=GoesOn(who, at))
    gone = replace(gone, discarded=Discarded(who, at))
    monkeypatch.setattr("api.services.lot_card._decided", lambda *_: (gone, kept))
    page = words(sal.get("/lot-card/R02").text)
    assert "R02 A, 10 racks, discarded after a stop: Lotte Amberry decided, Mon 17 Aug" in page
    assert "R02 B, 1 rack, over the house limit, goes on: Lotte Amberry decided" in page


def test_a_grower_comes_to_her_own_page_of_her_own_lot_only(kitchen: Kitchen):
    odile = entered(kitchen, "grower")
    code = kitchen.by["hand"].post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 118}).json()
    for own in ("R02", code["code"]):
        answer = odile.get(f"/lot-card/{own}")
        assert (answer.status_code, answer.headers["location"]) == (303, "/my-lots/R02")
    kitchen.by["hand"].post("/api/v1/lots", {"note_id": "R01", "weighed_kg": 60})
    others, nowhere = (odile.get(f"/lot-card/{each}") for each in ("R01", "R99"))
    assert others.status_code == nowhere.status_code == 404
    assert others.text.replace("R01", "R99") == nowhere.text


@pytest.mark.parametrize("role", ["board", "on_call"])
def test_others_read_no_card(kitchen: Kitchen, role: Role):
    assert entered(kitchen, role).get("/lot-card/R02").status_code == 403


def test_a_product_with_a_gtin_has_what_its_bags_say(kitchen: Kitchen, sal: Asking):
    """Lot of Tuesday 18 August, R12 (bean, bags of 100 g): dates once it is packed, nothing where
    the lot's code is longer than a label holds."""
    with kitchen.shelf.reading() as book:
        found = rack_labels(book, doing(HAND, MORNING), TUESDAY)
    (each, *_) = [one for one in found.charges if one.charge.after]
    note = found.asked.note(each.charge.note_id)
    cards = tuple(
        replace(card, gtin="06291041500213", bag_g=Grams(100), keeps_days=365)
        if card.id == note.card_id
        else card
        for card in found.asked.cards
    )
    coded = replace(each, lot_code="26-230-G04-BEA")
    packed = replace(coded, packed=datetime(2026, 8, 22, 3, tzinfo=UTC))  # Friday at 23:00
    long = replace(coded, lot_code="26-230-GROWER04-BEAN-2")
    of_day = (coded, packed, long, replace(each, lot_code=""))
    shown = DayLabels(replace(found.asked, cards=cards), of_day)
    page = labels_page(shown, TUESDAY, Reading(), site="/", each_rack=False, here=False)
    lot = f"26-230-G04-BEA-{each.charge.letter}".strip("-")
    assert [label.bag for label in page.labels] == [
        f"(01)06291041500213(10){lot}(3103)000100",
        f"(01)06291041500213(10){lot}(11)260821(15)270821(3103)000100",
        "",
        "",
    ]
    assert "Bags: (01)" not in sal.get(LABELS).text


def test_the_label_knows_when_its_lot_was_packed(kitchen: Kitchen, plan: Plan):
    note_id = of_the_day(plan)[0][0].split()[0]
    hand = kitchen.by["hand"]
    lot = hand.post("/api/v1/lots", {"note_id": note_id, "weighed_kg": 44}).json()
    kitchen.now[0] += timedelta(hours=1)
    hand.post(f"/api/v1/lots/{lot['code']}/pack", {"bags": 7}, headers={"If-Match": '"1"'})
    with kitchen.shelf.reading() as book:
        found = rack_labels(book, doing(HAND, MORNING), TUESDAY)
    packed = {each.charge.note_id: each.packed for each in found.charges}
    assert packed.pop(note_id) == MORNING + timedelta(hours=1)
    assert set(packed.values()) == {None}
