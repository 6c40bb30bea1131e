"""A grower's pages: told, answered, changed, let go, in a calendar; and nothing of anybody else."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from api.services.own_lots import anybodys_lot
from api.services.people import COMMAND_LINE, invite
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import MANAGER, doing
from tests.served import AUGUST, Kitchen
from tests.shelves import FRIDAY
from tests.site import HOME, entered, send, with_posted, words
from web.views.my_lots import lot_page
from web.views.reading import Reading

TELL, LOTS, CALENDAR = "/tell-us-whats-coming", "/my-lots", "/my-calendar"
SAID = {"crop": "tomato", "weight": "12,5", "day": "2026-08-25", "at": "08:00", "may_split": "yes"}
OWN_PAGES = (LOTS, f"{LOTS}/R02", f"{LOTS}/R20", f"{LOTS}/R23", TELL, CALENDAR)


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan) as found:
        yield found


@pytest.fixture
def odile(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "grower")


def by_link(kitchen: Kitchen) -> Asking:
    """Odile with the link that she was sent, and no password."""
    asker = kitchen.nobody()
    with kitchen.shelf.writing() as book:
        secret = invite(book, doing(COMMAND_LINE), "odile").secret
    assert asker.get(f"/invited/{secret}").status_code == 303
    return asker


def told(odile: Asking) -> str:
    """The address of a lot just told."""
    answer = send(odile, TELL, SAID | {"do": "tell"})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def test_her_link_opens_on_her_lots(kitchen: Kitchen):
    first = by_link(kitchen).get("/", follow=True)
    assert (first.status_code, first.url.path) == (200, LOTS)
    page = words(first.text)
    assert "tomato, 120 kg Firm: the kitchen expects you. Bring it by Mon 17 Aug" in page
    assert "you are at work until" in page
    assert "bags: about" in page


def test_the_answer_comes_before_anything_is_kept(odile: Asking, kitchen: Kitchen):
    page = words(send(odile, TELL, SAID | {"do": "look"}).text)
    assert "It would fit Not promised yet" in page
    for each in ("bring it Tue 25 Aug", "racks", "hours in the dryer", "about", "Price:",
                 "you pack", "A bag must bring"):  # fmt: skip
        assert each in page, each
    with kitchen.shelf.reading() as book:
        assert book.notes.where(grower_id="G01", state="noted") == ()


def test_the_script_hears_the_answer_alone(odile: Asking):
    found = odile.ask("POST", f"{TELL}/answer", data=SAID, headers=HOME)
    assert found.status_code == 200
    assert "<html" not in found.text
    assert "It would fit" in found.text
    unfinished = odile.ask("POST", f"{TELL}/answer", data=SAID | {"weight": ""}, headers=HOME)
    assert unfinished.status_code == 204


def test_what_is_told_is_kept_with_the_answer_of_the_api(odile: Asking, kitchen: Kitchen):
    where = told(odile)
    note = kitchen.by["grower"].get(f"/api/v1/notes/{where.rpartition('/')[2]}").json()
    assert (note["field_kg"], note["arrives"]) == (12.5, "2026-08-25T08:00:00-04:00")
    page = words(odile.get(where).text)
    assert "The kitchen has it." in page
    fees = note["answer"]["price"]["fees"]
    assert f"{fees // 100}.{fees % 100:02d}" in page
    bags = note["answer"]["bags"]
    assert f"about {bags['likely']} ({bags['fewest']} to {bags['most']})" in page


def test_of_a_lot_placed_in_part_it_is_said_what_is_firm_and_what_waits(kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        own = anybodys_lot(book, doing(MANAGER), "R10")
    page = lot_page(own, Reading(zone=AUGUST.kitchen.zone), now=FRIDAY, may_change=False)
    assert page.row.now == (
        "Firm: the kitchen expects you. 28.9 kg of it; 26.1 kg is on the waiting list."
    )
    assert page.why_not is not None
    assert page.why_not.part == "26.1 kg"


def test_no_room_is_told_with_its_rule(odile: Asking):
    full = SAID | {"weight": "400", "day": "2026-08-20", "do": "look"}
    page = words(send(odile, TELL, full).text)
    assert "No room for it, as things stand" in page
    assert re.search(r"Rule \d+ of the kitchen: [A-Z]", page)
    assert "waiting list" in page


@pytest.mark.parametrize(
    ("wrong", "fault"),
    [
        ({"weight": "much"}, "must be a number"),
        ({"weight": "0"}, "must be at least 0.001"),
        ({"weight": "1e9"}, "must be at most"),
        ({"weight": ""}, "must be filled in"),
        ({"crop": ""}, "must be filled in"),
        ({"crop": "gold"}, "there is no process card gold"),
        ({"day": "soon"}, "must be a day"),
        ({"day": ""}, "must be filled in"),
        ({"at": "noon"}, "must be a time of day"),
    ],
)
def test_faults_stand_at_their_fields_and_nothing_is_kept(
    odile: Asking, kitchen: Kitchen, wrong: dict[str, str], fault: str
):
    answer = send(odile, TELL, SAID | {"remark": "so far so good", "do": "tell"} | wrong)
    assert answer.status_code == 422
    (name,) = wrong
    assert f'<a href="#{name}">' in answer.text
    at = re.search(rf'id="{name}-fault">([^<]*)<', answer.text)
    assert at
    assert fault in at[1]
    assert "so far so good" in answer.text
    with kitchen.shelf.reading() as book:
        assert book.notes.where(grower_id="G01", state="noted") == ()


def test_a_note_sent_twice_is_one_note(odile: Asking, kitchen: Kitchen):
    key = re.search(r'name="once" value="([^"]+)"', odile.get(TELL).text)
    assert key
    data = SAID | {"once": key[1], "do": "tell"}
    first, again = (odile.ask("POST", TELL, data=data, headers=HOME) for _ in range(2))
    assert first.headers["location"] == again.headers["location"]
    with kitchen.shelf.reading() as book:
        assert len(book.notes.where(grower_id="G01", state="noted")) == 1


def test_what_was_told_is_taken_back(odile: Asking, kitchen: Kitchen):
    where = told(odile)
    assert send(odile, where, {}, form=f"{where}/let-go").status_code == 303
    assert note_state(kitchen, where) == "let go"


def note_state(kitchen: Kitchen, where: str) -> str:
    note = kitchen.by["grower"].get(f"/api/v1/notes/{where.rpartition('/')[2]}").json()
    return str(note["state"])


def test_a_change_is_answered_anew_and_undone(odile: Asking, kitchen: Kitchen):
    where = told(odile)
    before = words(odile.get(where).text)
    changed = SAID | {"weight": "50"}
    assert send(odile, f"{where}/change", changed).status_code == 303
    page = odile.get(where)
    assert "tomato, 50 kg" in words(page.text)
    bags = re.search(r"about (\d+)", words(page.text))
    assert bags
    assert int(bags[1]) > int(re.search(r"about (\d+)", before)[1])  # type: ignore[index]
    form = re.search(r'<div class="notice".*?</div>', page.text, re.DOTALL)
    assert form
    undo = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form[0]))
    assert odile.ask("POST", f"{where}/change", data=undo, headers=HOME).status_code == 303
    assert "tomato, 12.5 kg" in words(odile.get(where).text)


def test_of_a_firm_note_only_what_is_not_promised_changes(odile: Asking, kitchen: Kitchen):
    page = odile.get(f"{LOTS}/R02/change").text
    assert 'name="weight"' not in page
    assert "It is firm: its weight and time are promised." in words(page)
    assert send(odile, f"{LOTS}/R02/change", {"remark": "two crates bruised"}).status_code == 303
    assert "two crates bruised" in odile.get(f"{LOTS}/R02").text
    assert note_state(kitchen, "R02") == "firm"


def test_she_reads_where_her_lot_is_now(odile: Asking, kitchen: Kitchen):
    hand = kitchen.by["hand"]
    weighed = hand.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 118}).json()
    page = words(odile.get(f"{LOTS}/R02").text)
    assert f"Lot {weighed['code']} In the kitchen, still whole." in page
    assert "tomato, 118 kg" in page
    assert f"{LOTS}/R02/let-go" not in odile.get(f"{LOTS}/R02").text
    path = f"/api/v1/lots/{weighed['code']}"
    hand.post(f"{path}/pack", {"bags": 71}, headers={"If-Match": '"1"'})
    page = words(odile.get(LOTS).text)
    assert page.index("Earlier") < page.index("tomato, 118 kg Packed.")
    assert "bags packed 71" in words(odile.get(f"{LOTS}/R02").text)


def test_what_was_answered_once_is_no_longer_told_when_it_is_at_the_door(
    odile: Asking, kitchen: Kitchen
):
    where = told(odile)
    assert "Not promised yet" in odile.get(where).text
    note_id = where.rpartition("/")[2]
    kitchen.by["hand"].post("/api/v1/lots", {"note_id": note_id, "weighed_kg": 12})
    assert "Not promised yet" not in odile.get(where).text


def test_letting_go_asks_once_more_and_says_what_ends(odile: Asking, kitchen: Kitchen):
    page = odile.get(f"{LOTS}/R02/let-go").text
    assert "It cannot be taken back." in words(page)
    assert note_state(kitchen, "R02") == "firm"
    assert send(odile, f"{LOTS}/R02/let-go", {}).headers["location"] == LOTS
    assert note_state(kitchen, "R02") == "let go"
    assert 'href="/my-lots/R02/let-go"' not in odile.get(f"{LOTS}/R02").text


def test_an_old_page_changes_nothing(odile: Asking):
    where = told(odile)
    old = dict(SAID, version="1")
    send(odile, f"{where}/change", SAID | {"weight": "50"})
    late = odile.ask("POST", f"{where}/change", data=old | {"weight": "70"}, headers=HOME)
    assert (late.status_code, "do it again if you still want to" in late.text) == (412, True)
    assert "tomato, 50 kg" in words(odile.get(where).text)


def test_a_calendar_link_is_made_seen_once_read_and_ended(odile: Asking, kitchen: Kitchen):
    assert send(odile, CALENDAR, {}).status_code == 303
    page = odile.get(CALENDAR).text
    found = re.search(r"<code>http://kitchen(/api/v1/feeds/[^<]+)</code>", page)
    assert found
    assert "BEGIN:VEVENT" in kitchen.nobody().get(found[1]).text
    page = odile.get(CALENDAR).text
    assert found[1] not in page
    revoke = re.search(r'href="(/my-calendar/\w+/revoke)"', page)
    assert revoke
    assert send(odile, revoke[1], {}).status_code == 303
    assert kitchen.nobody().get(found[1]).status_code == 401
    assert "You have no calendar link yet." in odile.get(CALENDAR).text
    with kitchen.shelf.reading() as book:
        secret = found[1].rpartition(".")[2]
        assert all(secret not in str(each) for each in book.answered_once.where())


def test_nothing_of_another_grower_is_on_her_pages(odile: Asking):
    own = {note.id for note in AUGUST.notes if note.grower_id == "G01"}
    others = {each.farm for each in AUGUST.growers if each.id != "G01"}
    names = {each.name for each in AUGUST.growers if each.id != "G01"}
    hands = {each.name for each in AUGUST.kitchen.hands}
    for path in OWN_PAGES:
        page = odile.get(path)
        assert page.status_code == 200, path
        assert not set(re.findall(r"\bR\d\d\b", page.text)) - own
        assert not [each for each in others | names | hands if each in page.text]
        assert not re.search(r"plan \d|/weeks/", page.text)


@pytest.mark.parametrize("path", ["", "/change", "/let-go"])
def test_a_lot_of_another_is_as_one_that_is_not_there(odile: Asking, path: str):
    others, nowhere = (odile.get(f"{LOTS}/{note}{path}") for note in ("R01", "R99"))
    assert others.status_code == nowhere.status_code == 404
    assert others.text.replace("R01", "R99") == nowhere.text
    if path:
        post = odile.ask("POST", f"{LOTS}/R01{path}", data={"version": "1"}, headers=HOME)
        assert post.status_code == 404


def test_another_grower_cannot_be_noted_for(odile: Asking, kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        before = len(book.notes.where(grower_id="G02"))
    assert send(odile, TELL, SAID | {"grower_id": "G02", "do": "tell"}).status_code == 303
    with kitchen.shelf.reading() as book:
        assert len(book.notes.where(grower_id="G02")) == before
        assert len(book.notes.where(grower_id="G01", state="noted")) == 1


def test_her_link_reads_and_leads_to_the_door_for_the_rest(kitchen: Kitchen):
    asker = by_link(kitchen)
    page = asker.get(LOTS).text
    assert TELL not in page
    assert CALENDAR not in page
    assert "/log-in" in page
    assert "let-go" not in asker.get(f"{LOTS}/R02").text
    for path in (TELL, f"{LOTS}/R02/change", f"{LOTS}/R02/let-go", CALENDAR):
        assert asker.get(path).status_code == 403, path
        sent = asker.ask("POST", path, data=SAID | {"version": "1"}, headers=HOME)
        assert sent.status_code == 403, path
    with kitchen.shelf.reading() as book:
        assert book.notes.where(grower_id="G01", state="noted") == ()


@pytest.mark.parametrize("role", ["manager", "hand", "board", "on_call"])
@pytest.mark.parametrize("path", [LOTS, TELL])
def test_these_pages_are_for_growers(kitchen: Kitchen, role: str, path: str):
    asker = entered(kitchen, role)  # type: ignore[arg-type]
    assert asker.get(path).status_code in (403, 404)


def test_pounds_are_read_and_written(odile: Asking, kitchen: Kitchen):
    send(odile, "/my-settings", {"language": "", "weight_unit": "lb", "temperature_unit": "F"})
    assert "tomato, 265 lb" in words(odile.get(LOTS).text)
    where = told(odile)
    note = kitchen.by["grower"].get(f"/api/v1/notes/{where.rpartition('/')[2]}").json()
    assert note["field_kg"] == pytest.approx(12.5 * 0.45359237, abs=0.001)
    send(odile, f"{where}/change", _as_shown(odile, f"{where}/change") | {"remark": "ripe"})
    again = kitchen.by["grower"].get(f"/api/v1/notes/{where.rpartition('/')[2]}").json()
    assert (again["field_kg"], again["remark"]) == (note["field_kg"], "ripe")


def _as_shown(odile: Asking, path: str) -> dict[str, str]:
    found = re.findall(r'<input value="([^"]*)"[^>]*? name="([^"]+)"', odile.get(path).text)
    return {name: value for value, name in found}


def test_an_empty_list_teaches(odile: Asking, kitchen: Kitchen):
    kitchen.now[0] = FRIDAY.replace(year=2027)
    page = words(odile.get(LOTS).text)
    assert "Nothing of yours is on its way. When a harvest is coming, tell us" in page
