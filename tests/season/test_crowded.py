"""Where rack-hours went that lots kept out by racks could have had: the parts make up the whole."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.clock import Span
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Waiting
from scheduler.season import counts
from scheduler.season.crowded import RACKS, Crowd, crowded, in_words
from scheduler.season.records import Ran, Season, WeekRecord
from scheduler.units import Grams, Racks, Seconds
from scheduler.wording import percent
from tests.season.small import HOUR, season


def kept_out_by(found: Season, rule: int | None) -> Season:
    """The same, with that rule told of whatever has no place."""
    weeks = []
    for week in found.weeks:
        waiting = tuple(
            Waiting(note.id, left, left, rule) for note, left, _ in counts.waiting(week)
        )
        last = replace(week.posted[-1], plan=replace(week.plan, waiting=waiting))
        weeks.append(replace(week, posted=(*week.posted[:-1], last)))
    return replace(found, weeks=tuple(weeks))


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 200))
def test_parts_make_up_all_rack_hours_of_those_lots(seed: int):
    found = kept_out_by(season(seed), RACKS)
    crowd = crowded(found)
    every = [(week, note) for week in found.weeks for note, _, _ in counts.waiting(week)]
    assert (crowd is None) == (not every)
    if crowd is None:
        return
    whole = 0
    for week, note in every:
        close = week.kitchen.staffed_spans(week.week.days)[-1].end
        group, last = week.asked.card(note.card_id).group, min(note.latest_start, close)
        racks = sum(each.racks for each in week.kitchen.dryers if group in each.groups)
        whole += racks * Span(note.arrives, max(last, note.arrives)).seconds
    parts = (crowd.loaded_s, crowd.beside_s, crowd.turned_s, crowd.short_s, crowd.free_s)
    assert min(parts) >= 0
    assert sum(parts) == crowd.all_s == whole
    assert 0 <= crowd.quiet_s <= crowd.open_s == counts.racks_open_s(found)


@settings(max_examples=5, deadline=None)
@given(st.integers(1, 200), st.sampled_from([None, 12, 17]))
def test_nothing_is_told_of_lots_that_other_rules_kept_out(seed: int, rule: int | None):
    assert crowded(kept_out_by(season(seed), rule)) is None


def one_lot(*, runs: tuple[tuple[int, int, int], ...], stop: int | None = None) -> WeekRecord:
    """A week with one dryer alone, ten racks, an hour of turn-round; hours count from when a lot
    came that needs five hours and may start for ten. runs: from, to, racks; stop: an hour long."""
    week = season(2).weeks[0]
    (note, *_), (dryer, *_), template = week.asked.notes, week.kitchen.dryers, week.ran[0]
    card = replace(week.asked.card(note.card_id), drying_s=Seconds(5 * 3600))
    came = week.kitchen.staffed_spans(week.week.days)[0].start
    note = replace(note, arrives=came, latest_start=came + 10 * HOUR)
    groups = frozenset({card.group})
    dryer = replace(dryer, racks=Racks(10), turn_round_s=Seconds(3600), groups=groups)
    kitchen = replace(week.kitchen, dryers=(dryer,))
    asked = replace(
        week.asked, kitchen=kitchen, notes=(note,),
        cards=tuple(card if each.id == card.id else each for each in week.asked.cards),
    )  # fmt: skip
    waiting = (Waiting(note.id, note.field_g, Grams(1), RACKS),)
    plan = replace(week.plan, runs=(), waiting=waiting)
    charge = replace(template.run.charges[0], note_id="another")

    def at(hour: int) -> datetime:
        return came + hour * HOUR

    ran = tuple(
        Ran(
            replace(
                template.run, dryer_id=dryer.id, start=at(begin), end=at(end), released=at(end),
                wash_down=None, charges=(replace(charge, racks=Racks(racks)),),
            ),
            None,
            on_record=True,
        )
        for begin, end, racks in runs
    )  # fmt: skip
    stops = () if stop is None else (Outage(dryer.id, at(stop), at(stop) + timedelta(hours=1)),)
    posted = (replace(week.posted[-1], asked=asked, plan=plan),)
    return replace(week, posted=posted, ran=ran, lots=(), gone=(), outages=stops)


def hours(week: WeekRecord, told: datetime | None = None) -> list[float]:
    """Of ten racks: loaded, beside, turned, short, free."""
    crowd = crowded(replace(season(2), weeks=(week,), told=told))
    assert crowd is not None
    parts = (crowd.loaded_s, crowd.beside_s, crowd.turned_s, crowd.short_s, crowd.free_s)
    return [each / 36_000 for each in parts]


def test_by_hand():
    """Free for two hours, too short for five and a turn-round; four hours with eight racks of ten;
    an hour of turn-round; then free to the week's end, of which three hours are its own."""
    assert hours(one_lot(runs=((2, 6, 8),))) == [3.2, 0.8, 1, 2, 3]


def test_a_run_to_come_takes_its_dryer_and_one_that_never_came_does_not():
    ran = one_lot(runs=((2, 6, 8),))
    to_come = replace(ran, ran=(), expected=ran.ran)
    start = ran.ran[0].run.start
    assert hours(to_come, told=start - HOUR) == hours(ran)
    assert hours(to_come, told=start + HOUR) == hours(one_lot(runs=()))


def test_free_for_long_enough_is_told_apart():
    assert hours(one_lot(runs=((6, 9, 10),))) == [3, 0, 1, 0, 6]
    assert hours(one_lot(runs=((5, 9, 10),))) == [4, 0, 1, 5, 0]


def test_a_stop_is_no_free_time():
    assert hours(one_lot(runs=(), stop=3)) == [0, 0, 1, 3, 6]
    assert hours(one_lot(runs=())) == [0, 0, 0, 0, 10]


def test_the_sentence_has_the_shares():
    crowd = crowded(replace(season(2), weeks=(one_lot(runs=((2, 6, 8),)),)))
    assert crowd is not None
    told = in_words(crowd, 12.0)
    assert told.startswith("Racks kept out 1 lot (12 kg) in 1 of 1 week. ")
    for part in (
        "50 of 100 rack-hours of the dryers that take them were in use or being made ready"
        " (32 loaded)",
        "Of the other 50, 20 lay in gaps shorter than the lot needs",
        "; 30 were free for longer.",
    ):
        assert part in told
    assert "the other" not in told.replace("Of the other 50", "")


EMPTY = Crowd(1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 1, 0)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(0, 10**9), min_size=5, max_size=5).filter(any))
def test_told_parts_make_up_a_hundred(parts: list[int]):
    names = ("loaded_s", "beside_s", "turned_s", "short_s", "free_s")
    crowd = replace(EMPTY, **dict(zip(names, parts, strict=True)))
    told = in_words(crowd, 0.0).partition("week. ")[2]
    numbers = [int(each) for each in re.findall(r"\d+", told)]
    taken, hundred, loaded, *rest = numbers
    assert hundred == 100 >= taken >= loaded
    assert taken + (rest[0] if rest else 0) == 100
    assert sum(rest[1:]) == (rest[0] if rest else 0)


def test_weeks_in_which_racks_kept_nothing_out_stand_beside():
    """3.2 of the days' rack-hours loaded in the week of the lot, and none in the other."""
    crowded_week, quiet = one_lot(runs=((2, 6, 8),)), replace(season(2).weeks[1], ran=())
    plan = replace(quiet.plan, waiting=())
    quiet = replace(quiet, posted=(replace(quiet.posted[-1], plan=plan),))
    found = replace(season(2), weeks=(crowded_week, quiet))
    crowd = crowded(found)
    assert crowd is not None
    opened = counts.rack_open_s(found, crowded_week)
    share = percent(32 * 3600 / opened)
    assert in_words(crowd, 12.0).endswith(
        f" In that week {share} of all rack-hours were loaded, in the other 1 week 0 %."
    )
    assert (crowd.used_s, crowd.quiet_loaded_s) == (32 * 3600, 0)
