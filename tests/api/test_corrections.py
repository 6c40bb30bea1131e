"""What was written by mistake: one more record, the first stays, who and why."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from api.services.asking import asked_of
from api.services.corrections import Right, RightTimes, correct_lot, correct_run
from api.services.day_to_tick import day_to_tick
from api.services.errors import NotAllowed, NotNow, OldVersion
from api.services.handing_out import hand_out
from api.services.lots import door, lot, pack
from api.services.notes import note
from api.services.ports import Book
from api.services.posting import post
from api.services.runs import Start, end, kept_runs, start, unload
from api.services.taking_in import take_in
from scheduler.domain.outage import StartedCharge
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from scheduler.scenario import load
from scheduler.units import Racks, grams
from tests.api.test_promises import laid_out
from tests.api.test_runs import at, hand
from tests.book import GROWER, MANAGER, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
EVENING = hand(at("19:00"))


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        post(found, doing(MANAGER), laid_out(found, plan))
        yield found


def weighed(book: Book, kg: float) -> str:
    return door(book, hand(at("08:05")), "R03", grams(kg), at=at("08:05")).code


def test_a_weight_is_corrected_while_the_lot_is_whole(book: Book):
    code = weighed(book, 53)
    who = hand(at("08:10"))
    right = Right(weighed_g=grams(35))
    done = correct_lot(book, who, code, version=1, right=right, why="two digits changed places")
    assert (done.weighed_g, done.version) == (grams(35), 2)
    assert note(book, who, "R03").field_g == grams(35)
    first, second = book.happenings.where(subject=code, kind="at the door")
    assert (first.told["weighed_g"], second.told["weighed_g"]) == (grams(53), grams(35))
    assert (second.told["instead_of"], second.by) == (grams(53), "sal")
    assert second.told["asked_g"] == AUGUST.note("R03").field_g
    with pytest.raises(OldVersion):
        correct_lot(book, who, code, version=1, right=right, why="again")
    start(book, hand(at("09:56")), Start("D2", at("09:55")))
    version = lot(book, EVENING, code).version
    with pytest.raises(NotNow, match="no longer corrected"):
        correct_lot(book, EVENING, code, version=version, right=right, why="late")


def test_the_end_and_the_unloading_of_a_run(book: Book):
    weighed(book, 35)
    run = start(book, hand(at("09:56")), Start("D2", at("09:55"))).number
    with pytest.raises(NotNow, match="not on record as ended"):
        correct_run(book, EVENING, run, right=RightTimes(ended=at("17:00")), why="x")
    end(book, hand(at("17:56")), run, at("17:55"))
    unload(book, hand(at("18:30")), run, at("18:25"))
    found = correct_run(
        book, EVENING, run, right=RightTimes(ended=at("17:35")), why="read the wrong clock"
    )
    assert found.ended == at("17:35")
    found = correct_run(
        book, EVENING, run, right=RightTimes(unloaded=at("18:20")), why="later than it was"
    )
    assert (found.ended, found.unloaded) == (at("17:35"), at("18:20"))
    assert len(book.happenings.where(kind="run ended")) == 2
    for wrong in ({"ended": at("18:40")}, {"unloaded": at("17:00")}, {"unloaded": at("20:00")}):
        with pytest.raises(BadInput, match="out of order"):
            correct_run(book, EVENING, run, right=RightTimes(**wrong), why="x")


def test_the_start_of_a_run_typed_wrong(book: Book):
    """09:55 was meant to be 08:55: it is planned to dry for as long; the first entry stays."""
    weighed(book, 35)
    kept = start(book, hand(at("09:56")), Start("D2", at("09:55")))
    lasts = kept.run.end - kept.run.start
    right = RightTimes(started=at("08:55"))
    found = correct_run(book, EVENING, kept.number, right=right, why="read the wrong clock")
    assert (found.run.start, found.run.end - found.run.start) == (at("08:55"), lasts)
    assert [each.run for each in kept_runs(book, AUGUST.week)] == [found.run]
    assert asked_of(book, AUGUST.week, now=at("19:00")).happened.runs == (found.run,)
    (first,) = book.happenings.where(kind="run started")
    assert first.run == kept.run
    (line,) = (
        each
        for each in day_to_tick(book, EVENING, at("09:00").date()).lines
        if each.line.act == "start" and each.kept
    )
    assert line.done
    assert line.done.at == at("08:55")


def test_a_start_is_not_corrected_beyond_what_is_on_record(book: Book):
    weighed(book, 35)
    run = start(book, hand(at("09:56")), Start("D2", at("09:55"))).number
    end(book, hand(at("13:01")), run, at("13:00"))
    unload(book, hand(at("13:30")), run, at("13:25"))
    again = (StartedCharge("R03", Racks(5)),)
    second = start(book, hand(at("15:00")), Start("D2", at("15:00"), 50.0, at("18:40"), again))
    for number, wrong in ((run, "13:05"), (second.number, "13:20"), (second.number, "20:00")):
        with pytest.raises(BadInput, match="out of order"):
            correct_run(book, EVENING, number, right=RightTimes(started=at(wrong)), why="x")
    right = RightTimes(started=at("13:25"))
    found = correct_run(book, EVENING, second.number, right=right, why="x")
    assert found.run.start == at("13:25")


def test_times_corrected_together_are_in_order_with_each_other(book: Book):
    weighed(book, 35)
    run = start(book, hand(at("09:56")), Start("D2", at("09:55"))).number
    end(book, hand(at("13:01")), run, at("13:00"))
    unload(book, hand(at("13:30")), run, at("13:25"))
    for wrong in (
        {"started": at("12:00"), "ended": at("11:00")},
        {"ended": at("13:20"), "unloaded": at("13:10")},
        {"started": at("13:10"), "unloaded": at("14:00")},
    ):
        with pytest.raises(BadInput, match="out of order"):
            correct_run(book, EVENING, run, right=RightTimes(**wrong), why="x")
    (kept,) = kept_runs(book, AUGUST.week)
    assert (kept.run.start, kept.ended, kept.unloaded) == (at("09:55"), at("13:00"), at("13:25"))
    right = RightTimes(started=at("13:30"), ended=at("17:00"), unloaded=at("17:25"))
    done = correct_run(book, EVENING, run, right=right, why="all of another day's line")
    assert (done.run.start, done.ended, done.unloaded) == (at("13:30"), at("17:00"), at("17:25"))


def test_a_run_is_not_corrected_into_the_next_one_of_its_dryer(book: Book):
    weighed(book, 35)
    run = start(book, hand(at("09:56")), Start("D2", at("09:55"))).number
    end(book, hand(at("17:56")), run, at("17:55"))
    unload(book, hand(at("18:30")), run, at("18:25"))
    again = (StartedCharge("R03", Racks(5)),)
    start(book, hand(at("18:40")), Start("D2", at("18:40"), 50.0, at("23:40"), again))
    late = hand(at("21:00"))
    for wrong in ({"unloaded": at("20:00")}, {"ended": at("18:41")}):
        with pytest.raises(BadInput, match="out of order"):
            correct_run(book, late, run, right=RightTimes(**wrong), why="x")
    assert correct_run(
        book, late, run, right=RightTimes(unloaded=at("18:35")), why="x"
    ).unloaded == at("18:35")


def test_it_says_why_and_is_for_the_kitchen(book: Book):
    code = weighed(book, 35)
    with pytest.raises(BadInput, match="must be filled in"):
        correct_lot(book, EVENING, code, version=1, right=Right(weighed_g=grams(36)), why=" ")
    with pytest.raises(BadInput, match="must be filled in"):
        correct_lot(book, EVENING, code, version=1, right=Right(), why="x")
    with pytest.raises(NotNow, match="not packed"):
        correct_lot(book, EVENING, code, version=1, right=Right(bags=3), why="x")
    with pytest.raises(NotAllowed):
        correct_lot(book, doing(GROWER), code, version=1, right=Right(bags=3), why="x")


def test_no_fewer_bags_than_were_handed_out(book: Book):
    code = weighed(book, 35)
    pack(book, EVENING, code, version=1, bags=60)
    taken = hand_out(book, EVENING, code, version=2, bags=40, to="market")
    with pytest.raises(NotNow, match=r"40 bags of lot .* have been handed out"):
        correct_lot(book, EVENING, code, version=taken.version, right=Right(bags=5), why="slip")
    right = Right(bags=40)
    done = correct_lot(book, EVENING, code, version=taken.version, right=right, why="slip")
    assert done.bags == 40
