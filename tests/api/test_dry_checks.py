"""The dry check: readings kept, the worst decides, a named person passes or holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from api.services.dry_checks import Check, Checked, count, dry_check
from api.services.errors import NotAllowed, NotNow, OldVersion
from api.services.lots import lot, pack, trail
from api.services.ports import Book
from api.services.posting import post
from api.services.runs import Start, end, kept_runs, start, unload
from api.services.taking_in import take_in
from scheduler.domain.outage import StartedCharge
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from scheduler.process.dry_check import Decision, Reading
from scheduler.scenario import load
from scheduler.units import Racks
from tests.api.test_promises import laid_out
from tests.api.test_runs import at, hand, weighed_in
from tests.book import GROWER, HAND, MANAGER, doing
from tests.served import WEEK as IN_WORDS
from tests.served import Kitchen
from tests.shelves import fresh_shelf

AUGUST = load("august")
EVENING = hand(at("19:00"))
FINE = tuple(Reading(rack, 0.54, 10.0) for rack in (1, 9, 18))  # at the limits of the card
WET = (*FINE[:2], Reading(18, 0.541, 9.0))


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    """R03 has dried in D2 and is on its racks still."""
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        weighed_in(found, "R03")
        start(found, hand(at("09:55")), Start("D2", at("09:55")))
        yield found


def code_of(book: Book) -> str:
    return book.lots.where(note_id="R03")[0].code


def taken_out(book: Book) -> str:
    (run,) = kept_runs(book, AUGUST.week)
    end(book, hand(at("17:56")), run.number, at("17:55"))
    unload(book, hand(at("18:30")), run.number, at("18:25"))
    return code_of(book)


def checked(book: Book, readings: tuple[Reading, ...], decision: Decision) -> Checked:
    code = code_of(book)
    version = lot(book, EVENING, code).version
    check = Check(readings, decision, "Lotte Amberry")
    return dry_check(book, EVENING, code, version=version, check=check)


def test_readings_at_the_limits_may_pass(book: Book):
    taken_out(book)
    done = checked(book, FINE, "pass")
    assert (done.counted.decision, done.counted.reasons, done.lot.state) == ("pass", (), "passed")
    (kept,) = book.happenings.where(kind="dry check")
    assert (kept.by, kept.told["decided_by"], kept.told["decision"]) == (
        "sal", "Lotte Amberry", "pass",
    )  # fmt: skip
    assert kept.told["readings"][0] == {"rack": 1, "water_activity": 0.54, "moisture_percent": 10.0}
    assert book.deeds.where(act="dry check")[0].subject == done.lot.code


@pytest.mark.parametrize(
    ("readings", "why"),
    [
        (WET, "rack 18 reads a water activity of 0.541, at most 0.54"),
        ((*FINE[:2], Reading(18, 0.5, 10.5)), "rack 18 has 10.5 % moisture, at most 10 %"),
        (FINE[:2], "2 of 3 racks sampled"),
        ((*FINE[:2], FINE[1]), "2 of 3 racks sampled"),
    ],
)
def test_the_worst_rack_holds_and_nobody_passes_it(
    book: Book, readings: tuple[Reading, ...], why: str
):
    taken_out(book)
    with pytest.raises(NotNow) as refused:
        checked(book, readings, "pass")
    assert str(refused.value).endswith(f"is to be held: {why}")
    assert book.happenings.where(kind="dry check") == ()
    done = checked(book, readings, "hold")
    assert (done.lot.state, done.counted.decision, done.counted.reasons) == ("held", "hold", (why,))


def test_a_person_may_hold_what_the_readings_would_let_pass(book: Book):
    taken_out(book)
    done = checked(book, FINE, "hold")
    assert (done.lot.state, done.counted.decision) == ("held", "pass")


def test_what_is_held_is_not_packed_until_another_check_passes_it(book: Book):
    taken_out(book)
    held = checked(book, WET, "hold").lot
    with pytest.raises(NotNow, match="is held"):
        pack(book, EVENING, held.code, version=held.version, bags=1)
    passed = checked(book, FINE, "pass").lot
    packed = pack(book, EVENING, held.code, version=passed.version, bags=1)
    assert packed.state == "packed"
    assert len(book.happenings.where(kind="dry check")) == 2
    with pytest.raises(NotNow, match="is packed"):
        checked(book, FINE, "pass")


def test_a_lot_in_two_runs_passes_when_both_have_passed(book: Book):
    """A second part of R03 in another dryer: until it is checked too, nothing is passed."""
    first = kept_runs(book, AUGUST.week)[0].number
    taken_out(book)
    part = (StartedCharge("R03", Racks(3)),)
    second = start(
        book, hand(at("18:30")), Start("D1", at("18:30"), 50.0, at("23:00"), part)
    ).number
    code = code_of(book)
    three = tuple(Reading(rack, 0.54, 10.0) for rack in (1, 2, 3))

    def read(decision: Decision, run: int) -> str:
        check = Check(FINE if run == first else three, decision, "Lotte Amberry", run)
        later = hand(at("23:59"))
        version = lot(book, later, code).version
        return dry_check(book, later, code, version=version, check=check).lot.state

    assert read("pass", first) == "on racks"
    assert read("hold", first) == "held"
    unload(book, hand(at("23:30")), second, at("23:30"))
    assert lot(book, EVENING, code).state == "held"
    assert read("pass", second) == "held"
    assert read("pass", first) == "passed"


def test_what_is_still_to_be_started_is_not_passed(book: Book, plan: Plan):
    """R18 dries on two days: after the first of them half of it is not even cut."""
    parts = [each for each in plan.charges() if each[1].note_id == "R18"]
    assert len(parts) == 2
    weighed_in(book, "R18")
    states = []
    for run, charge in parts:
        assert run.unload
        charges = (StartedCharge("R18", charge.racks),)
        said = Start(run.dryer_id, run.start, run.set_point_c, run.end, charges)
        number = start(book, doing(HAND, run.start), said).number
        out = doing(HAND, run.unload.end)
        unload(book, out, number, run.unload.end)
        found = book.lots.where(note_id="R18")[0]
        racks = range(charge.first_rack, charge.first_rack + charge.racks)
        readings = tuple(Reading(rack, 0.1, 1.0) for rack in racks)
        check = Check(readings, "pass", "Lotte Amberry", number)
        done = dry_check(book, out, found.code, version=found.version, check=check)
        states.append(done.lot.state)
    assert states == ["off racks", "passed"]


def test_nothing_is_checked_before_it_is_out_of_the_dryer(book: Book):
    with pytest.raises(NotNow, match="on record as unloaded"):
        checked(book, FINE, "pass")
    taken_out(book)
    found = lot(book, EVENING, code_of(book))
    check = Check(FINE, "pass", "Lotte Amberry", run=99)
    with pytest.raises(NotNow, match="no run 99 with lot"):
        dry_check(book, EVENING, found.code, version=found.version, check=check)


def test_a_rack_of_another_lot_does_not_count(book: Book):
    """R03 lies on racks 1 to 18; a part of it in a run that nobody planned, on that run's three."""
    taken_out(book)
    strange = (*FINE, Reading(19, 0.1, 1.0))
    with pytest.raises(BadInput, match="rack 19 is none of its racks, 1 to 18"):
        checked(book, strange, "hold")
    with pytest.raises(BadInput, match="rack 19 is none"):
        count(book, EVENING, code_of(book), readings=strange)
    part = (StartedCharge("R03", Racks(3)),)
    start(book, hand(at("18:30")), Start("D1", at("18:30"), 50.0, at("18:50"), part))
    unload(book, hand(at("18:55")), kept_runs(book, AUGUST.week)[-1].number, at("18:55"))
    with pytest.raises(BadInput, match="rack 9 is none of its racks, 1 to 3"):
        checked(book, FINE, "hold")


def test_what_cannot_be_read_is_refused(book: Book):
    code = taken_out(book)
    for readings in ((), (Reading(1, 1.2, 9.0),), (Reading(1, 0.5, -1.0),)):
        with pytest.raises(BadInput):
            checked(book, readings, "hold")
    with pytest.raises(OldVersion):
        dry_check(book, EVENING, code, version=1, check=Check(FINE, "hold", "Lotte Amberry"))
    with pytest.raises(NotAllowed):
        dry_check(book, doing(GROWER), code, version=1, check=Check(FINE, "hold", "Odile"))


def test_a_grower_hears_the_readings_of_her_lot_and_not_the_racks(book: Book):
    taken_out(book)
    checked(book, WET, "hold")
    own = replace(GROWER, grower_id=AUGUST.note("R03").grower_id)
    found = trail(book, doing(own), code_of(book))
    told = [found.told(each) for what, each in found.steps() if what == "dry check"]
    assert told == [
        {
            "decision": "hold",
            "decided_by": "Lotte Amberry",
            "readings": [
                {"water_activity": each.water_activity, "moisture_percent": each.moisture_percent}
                for each in WET
            ],
        }
    ]


def test_over_http(kitchen: Kitchen, plan: Plan):
    manager, cook = kitchen.by["manager"], kitchen.by["hand"]
    manager.post(f"/api/v1/weeks/{IN_WORDS}/post", {"plan": kitchen.laid_out(plan)})
    kitchen.now[0] = at("09:55")
    weighed = {"note_id": "R03", "weighed_kg": AUGUST.note("R03").field_g / 1000}
    path = cook.post("/api/v1/lots", weighed).headers["location"]
    run = cook.post("/api/v1/runs", {"dryer_id": "D2"}).headers["location"]
    kitchen.now[0] = at("18:25")
    cook.post(f"{run}/unload", {})
    body = {
        "readings": [
            {"rack": each.rack, "water_activity": each.water_activity, "moisture_percent": 9.5}
            for each in WET
        ],
        "decision": "pass",
        "decided_by": "Lotte Amberry",
    }
    seen = {"If-Match": cook.get(path).headers["etag"]}
    refused = cook.post(f"{path}/dry-checks", body, headers=seen)
    assert (refused.status_code, "rack 18 reads" in refused.json()["detail"]) == (409, True)
    held = cook.post(f"{path}/dry-checks", {**body, "decision": "hold"}, headers=seen)
    assert (held.status_code, held.json()["counted"]) == (201, "hold")
    assert cook.get(path).json()["state"] == "held"
    assert held.headers["etag"] == cook.get(path).headers["etag"]
    steps = cook.get(f"{path}/trail").json()["steps"]
    assert [each["what"] for each in steps][-1] == "dry check"
    assert "safe" not in held.text
