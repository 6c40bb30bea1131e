"""The day ticked off: each line once, by whom and when; refused where the book refuses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from api.records.plans import KeptPlan
from api.services.day_to_tick import Done, LineToTick, day_to_tick, key_of
from api.services.dry_checks import Check, dry_check
from api.services.errors import NoSuchThing, NotAllowed, NotNow
from api.services.lots import door
from api.services.outages import down
from api.services.plans import sheet_for
from api.services.ports import Book
from api.services.posting import post
from api.services.runs import kept_runs
from api.services.taking_in import take_in
from api.services.ticking import Tick, take_back, tick_off
from scheduler.day_sheet import day_sheet
from scheduler.domain.plan import Plan
from scheduler.errors import BadInput
from scheduler.process.dry_check import Reading
from scheduler.scenario import load
from scheduler.units import Grams
from tests.api.test_firm_turns import NEXT, noted
from tests.api.test_firm_turns import laid_out as laid_out_anew
from tests.api.test_promises import laid_out
from tests.api.test_runs import MONDAY, at, hand, weighed_in
from tests.book import GROWER, MANAGER, add_people, doing
from tests.shelves import fresh_shelf

AUGUST = load("august")
LATE = at("20:00")
SHARED = date(2026, 8, 24)  # the Monday after the week, and of the next


@pytest.fixture
def book(tmp_path: Path, plan: Plan) -> Iterator[Book]:
    with fresh_shelf(tmp_path) as shelf, shelf.writing() as found:
        take_in(found, doing(MANAGER), AUGUST)
        add_people(found)
        post(found, doing(MANAGER), laid_out(found, plan))
        yield found


def lines(book: Book, day: date = MONDAY) -> tuple[LineToTick, ...]:
    return day_to_tick(book, hand(LATE), day).lines


def one(book: Book, act: str, code: str = "R03", day: date = MONDAY) -> LineToTick:
    """The line of that act with that lot, or of the run that it lies in."""
    return next(
        each
        for each in lines(book, day)
        if each.line.act == act and code in [lot.code.split()[0] for lot in each.line.lots]
    )


def press(
    book: Book, found: LineToTick, when: datetime, *, day: date = MONDAY, **said: object
) -> None:
    tick_off(book, hand(LATE), day, Tick(found.key, when, **said))  # type: ignore[arg-type]


def dried(book: Book) -> None:
    """R03 from the door through D2 and out."""
    press(book, one(book, "weigh in"), at("08:04"), weighed_g=Grams(36_000))
    press(book, one(book, "start"), at("09:55"))
    press(book, one(book, "unload"), at("17:55"), ended=True)
    press(book, one(book, "unload"), at("18:20"))


def test_every_line_has_a_key_of_its_own(book: Book):
    for day in AUGUST.days:
        keys = [each.key for each in lines(book, day)]
        assert len(set(keys)) == len(keys)


def test_work_at_the_same_hour_of_two_days_is_two_lines(plan: Plan):
    """Without a lot only the day tells a wash-down from that of another day."""
    sheets = [day_sheet(AUGUST, plan, day) for day in AUGUST.days]
    wash = next(each for sheet in sheets for each in sheet.lines if each.act == "wash-down")
    later = replace(wash, at=wash.at + timedelta(days=1))
    assert not wash.lots
    assert key_of(later) != key_of(wash)


def test_a_line_is_done_by_whom_and_when(book: Book):
    dried(book)
    done = {act: one(book, act).done for act in ("weigh in", "start", "unload")}
    assert {act: (each.by, each.at) for act, each in done.items() if each} == {
        "weigh in": ("Sal Orrin", at("08:04")),
        "start": ("Sal Orrin", at("09:55")),
        "unload": ("Sal Orrin", at("18:20")),
    }
    lot = one(book, "weigh in").lot
    assert lot
    assert (lot.weighed_g, lot.at, lot.state) == (36_000, at("08:04"), "off racks")
    (deed,) = book.deeds.where(act="door")
    assert deed.at == LATE  # written down later than it happened


def test_what_nobody_did_is_not_done(book: Book):
    dried(book)
    done = {each.key for each in lines(book) if each.is_done}
    assert done == {one(book, act).key for act in ("weigh in", "start", "unload")}
    assert not any(each.is_done for each in lines(book, MONDAY + timedelta(days=1)))


def test_a_tick_is_taken_back_and_made_again(book: Book):
    wash = one(book, "wash")
    press(book, wash, at("08:20"))
    done = one(book, "wash").done
    assert done
    assert (done.by, done.at) == ("Sal Orrin", at("08:20"))
    take_back(book, hand(LATE), MONDAY, Tick(wash.key, at("08:21")))
    assert one(book, "wash").done is None
    take_back(book, hand(LATE), MONDAY, Tick(wash.key, at("08:22")))
    press(book, wash, at("08:30"))
    press(book, wash, at("08:40"))
    assert one(book, "wash").is_done
    assert one(book, "wash").done == Done("Sal Orrin", at("08:30"), {"load": 0, "done": True})
    assert len(book.happenings.where(kind="ticked")) == 3  # nothing is rubbed out


def test_baskets_are_ticked_one_by_one(book: Book):
    steam = next(each for each in lines(book) if each.line.act == "steam")
    numbers = [each.number for each in steam.line.loads]
    assert len(numbers) > 1
    for number in numbers:
        assert not next(each for each in lines(book) if each.key == steam.key).is_done
        press(book, steam, at("09:00"), load=number)
    assert next(each for each in lines(book) if each.key == steam.key).is_done
    for wrong in (0, max(numbers) + 1):
        with pytest.raises(BadInput, match="is none of"):
            press(book, steam, at("09:00"), load=wrong)


def test_the_run_of_the_line_starts_and_no_other(book: Book):
    tuesday = MONDAY + timedelta(days=1)
    later = one(book, "start", "R04", tuesday)
    earlier = next(
        each
        for each in lines(book)
        if each.line.act == "start" and each.line.station_id == later.line.station_id
    )
    lot = earlier.line.lots[0].code.split()[0]
    press(book, one(book, "weigh in", lot), at("09:00"), weighed_g=Grams(40_000))
    with pytest.raises(NotNow, match="R04 is not at the door"):
        press(book, later, at("15:00"), day=tuesday)
    assert later.run
    for each in later.run.charges:
        weighed_in(book, each.note_id)
    press(book, later, at("15:00"), day=tuesday)
    (kept,) = kept_runs(book, AUGUST.week)
    assert {each.note_id for each in kept.run.charges} == {
        each.note_id for each in later.run.charges
    }
    assert one(book, "start", "R04", tuesday).is_done
    assert not one(book, "start", lot).is_done  # it may never happen


def test_nothing_starts_that_is_not_at_the_door(book: Book):
    with pytest.raises(NotNow, match="weigh it in first"):
        press(book, one(book, "start"), at("09:55"))


def test_nothing_ends_before_it_began_nor_twice(book: Book):
    with pytest.raises(NotNow, match="not on record as started"):
        press(book, one(book, "unload"), at("18:00"))
    dried(book)
    with pytest.raises(NotNow, match="on record already"):
        press(book, one(book, "start"), at("19:00"))
    with pytest.raises(NotNow, match="unloaded already"):
        press(book, one(book, "unload"), at("19:00"))
    with pytest.raises(NotNow, match="cannot be weighed in"):
        press(book, one(book, "weigh in"), at("19:00"), weighed_g=Grams(1))


def test_it_is_packed_once_its_dry_check_is_passed(book: Book):
    tuesday = MONDAY + timedelta(days=1)
    day = next(d for d in AUGUST.days if any(x.line.act == "pack" and x.key.split()[1] == "R03"
                                             for x in lines(book, d)))  # fmt: skip
    with pytest.raises(NotNow, match="R03 is not at the door"):
        press(book, one(book, "pack", day=day), LATE, day=day, bags=3)
    dried(book)
    with pytest.raises(NotNow, match="R03 is off racks; it is packed once"):
        press(book, one(book, "pack", day=day), LATE, day=day, bags=3)
    check = one(book, "dry check", day=tuesday)
    assert check.lot
    assert check.kept
    readings = tuple(Reading(rack, 0.5, 9.0) for rack in check.line.sample_racks)
    said = Check(readings, "pass", "Lotte Amberry", check.kept.number, at("19:30"))
    dry_check(book, hand(LATE), check.lot.code, version=check.lot.version, check=said)
    done = one(book, "dry check", day=tuesday).done
    assert done
    assert (done.at, done.told["decision"]) == (at("19:30"), "pass")
    press(book, one(book, "pack", day=day), at("19:45"), day=day, bags=66)
    packed = one(book, "pack", day=day)
    assert packed.lot
    assert (packed.is_done, packed.lot.bags) == (True, 66)


def test_what_the_book_keeps_for_good_is_not_taken_back(book: Book):
    dried(book)
    for act in ("weigh in", "start", "unload"):
        with pytest.raises(NotNow, match="cannot be taken back"):
            take_back(book, hand(LATE), MONDAY, Tick(one(book, act).key, LATE))


def test_what_is_not_on_the_sheet_or_yet_to_come_is_refused(book: Book):
    with pytest.raises(NoSuchThing, match="has no line wash R99 W1"):
        tick_off(book, hand(LATE), MONDAY, Tick("wash R99 W1", LATE))
    with pytest.raises(BadInput, match="has not come yet"):
        press(book, one(book, "wash"), LATE + timedelta(seconds=1))
    with pytest.raises(NotAllowed):
        day_to_tick(book, doing(GROWER), MONDAY)


def test_held_lots_and_stopped_dryers_are_told(book: Book):
    dried(book)
    lot = one(book, "weigh in").lot
    assert lot
    wet = Check((Reading(1, 0.7, 12.0),), "hold", "Lotte Amberry")
    dry_check(book, hand(LATE), lot.code, version=lot.version, check=wet)
    down(book, hand(LATE), "D2", stopped=at("19:00"), cause="fan")
    found = day_to_tick(book, hand(LATE), MONDAY)
    assert [each.code for each in found.held] == [lot.code]
    stopped = {each.line.station_id for each in found.lines if each.down}
    assert stopped == {"D2"}


def next_week_laid_out(book: Book) -> KeptPlan:
    """With one note of the Monday on which the posted week's last lots are packed."""
    noted(book, "G03", 40, datetime(2026, 8, 24, 11, tzinfo=UTC))
    return laid_out_anew(book, NEXT)


def test_on_the_monday_of_two_weeks_the_lines_of_both_stand(book: Book):
    left = [each.key for each in lines(book, SHARED)]
    assert {each.line.act for each in lines(book, SHARED)} >= {"pack"}
    kept = next_week_laid_out(book)
    both = lines(book, SHARED)
    assert [each.key for each in both if each.plan.plan.week == AUGUST.week] == left
    assert all(each.posted for each in both if each.plan.plan.week == AUGUST.week)
    new = [each for each in both if each.plan.number == kept.number]
    assert {each.line.act for each in new} >= {"weigh in"}
    assert not any(each.posted for each in new)
    assert [each.line.at for each in both] == sorted(each.line.at for each in both)
    people = sheet_for(book, doing(MANAGER), SHARED).in_the_house
    assert len({(each.name, each.farm) for each in people}) == len(people)
    packs = {lot.grower for each in both if each.line.act == "pack" for lot in each.line.lots}
    assert packs <= {each.name for each in people}


def test_what_is_left_of_the_week_before_is_packed_and_ticked(book: Book):
    next_week_laid_out(book)
    found = next(each for each in lines(book, SHARED) if each.line.act == "pack")
    code = found.line.lots[0].code.split()[0]
    lot = door(book, hand(LATE), code, Grams(100_000))
    book.lots.replace(replace(lot, state="passed", version=lot.version + 1))
    noon = datetime(2026, 8, 24, 16, tzinfo=UTC)
    tick_off(book, hand(noon), SHARED, Tick(found.key, noon, bags=60))
    again = next(each for each in lines(book, SHARED) if each.key == found.key)
    assert again.is_done
    assert again.lot is not None
    assert (again.lot.state, again.lot.bags, again.lot.week) == ("packed", 60, AUGUST.week)


def test_a_grower_keeps_the_monday_that_was_posted(book: Book):
    mine = sheet_for(book, doing(GROWER), SHARED)
    assert "pack" in [line.act for line in mine.lines]
    kept = next_week_laid_out(book)
    assert sheet_for(book, doing(GROWER), SHARED) == mine  # the new one is nobody's promise yet
    post(book, doing(MANAGER), kept.number)
    assert sheet_for(book, doing(GROWER), SHARED).lines == mine.lines
