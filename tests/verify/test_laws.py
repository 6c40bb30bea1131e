"""Laws that hold whatever the numbers: the grid, order of telling, hours, levels, power."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.domain.clock import Span, Week, seconds_within
from scheduler.domain.plan import Plan, Run
from scheduler.domain.rules import FULL, SIMPLE
from scheduler.verify import verify
from scheduler.verify.hours import Hours
from scheduler.verify.power import check as check_power
from scheduler.verify.reading import Reading
from scheduler.verify.sweep import Levels
from tests.builders import at, weekly
from tests.verify.changes import with_after, with_kitchen, with_limits, with_preparation, with_run
from tests.verify.easier_week import PEPPER
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan
from tests.verify.test_twins import TWINS
from tests.verify.twin import Twin

MONDAY = at("Mon 00:00")
CODES = [charge.code for _, charge in good_plan().charges()]
RUNS = [run.id for run in good_plan().runs]


def minute(count: int) -> timedelta:
    return timedelta(minutes=count)


@settings(deadline=None)
@given(
    st.sampled_from(CODES),
    st.sampled_from(["wash", "cut", "dry_check", "packing"]),
    st.booleans(),
    st.integers(1, 299),
)
def test_work_on_a_charge_off_the_grid_is_always_found(code: str, work: str, end: bool, off: int):
    plan = good_plan()
    charge = next(each for _, each in plan.charges() if each.code == code)
    change = with_preparation if work in {"wash", "cut"} else with_after
    span = getattr(charge.preparation if work in {"wash", "cut"} else charge.after, work)
    moved = timedelta(seconds=off)
    off_grid = (
        replace(span, end=span.end + moved) if end else replace(span, start=span.start - moved)
    )
    faults = verify(good_asked(), change(plan, code, **{work: off_grid}))
    assert any(fault.rule == 1 and fault.charge == code for fault in faults)


@settings(deadline=None)
@given(st.sampled_from(RUNS), st.sampled_from(["start", "end", "unload"]), st.integers(-299, 299))
def test_a_run_off_the_grid_is_always_found(run_id: str, what: str, off: int):
    plan = good_plan()
    was = getattr(next(run for run in plan.runs if run.id == run_id), what)
    moved = timedelta(seconds=off)
    new = Span(was.start + moved, was.end) if what == "unload" else was + moved
    faults = verify(good_asked(), with_run(plan, run_id, **{what: new}))
    assert any(fault.rule == 1 and fault.run_id == run_id for fault in faults) == (off != 0)


@settings(deadline=None)
@given(st.sampled_from(TWINS), st.integers(0, 2**32))
def test_the_order_of_telling_changes_nothing(twin: Twin, seed: int):
    asked, plan = twin.make()
    dice = Random(seed)
    runs = tuple(
        replace(run, charges=tuple(dice.sample(run.charges, len(run.charges))))
        for run in dice.sample(plan.runs, len(plan.runs))
    )
    duties = tuple(dice.sample(plan.duties, len(plan.duties)))
    shuffled = verify(asked, replace(plan, runs=runs, duties=duties))
    assert Counter(shuffled) == Counter(verify(asked, plan))


marks = st.lists(st.integers(0, 400), min_size=2, max_size=12, unique=True).map(sorted)
stretches = st.tuples(st.integers(0, 300), st.integers(1, 90), st.integers(1, 5))


@settings(deadline=None)
@given(marks, st.integers(0, 400), st.integers(0, 400))
def test_hours_agree_with_counting_span_by_span(cuts: list[int], one: int, other: int):
    pairs = list(pairwise(cuts))[::2]
    spans = [Span(MONDAY + minute(start), MONDAY + minute(end)) for start, end in pairs]
    first, last = MONDAY + minute(min(one, other)), MONDAY + minute(max(one, other))
    hours = Hours(spans)
    assert hours.seconds(first, last) == seconds_within(spans, first, last)
    assert hours.hold(first) == any(span.holds(first) for span in spans)
    assert hours.contain(Span(first, last)) == any(
        span.contains(Span(first, last)) for span in spans
    )
    assert hours.meet(Span(first, last)) == any(span.overlaps(Span(first, last)) for span in spans)
    later = [span.start for span in spans if span.start >= first]
    assert hours.next_opening(first) == min(later, default=None)


@settings(deadline=None)
@given(st.lists(stretches, max_size=8), st.integers(0, 6), st.integers(0, 300), st.integers(1, 90))
def test_levels_agree_with_counting_minute_by_minute(
    taken: list[tuple[int, int, int]], limit: int, since: int, length: int
):
    uses = [
        (Span(MONDAY + minute(start), MONDAY + minute(start + last)), amount)
        for start, last, amount in taken
    ]
    counted = [
        sum(amount for start, last, amount in taken if start <= each < start + last)
        for each in range(400)
    ]
    over = Levels(uses).excesses(limit)
    told = {
        each: excess.most
        for excess in over
        for each in range(400)
        if excess.span.holds(MONDAY + minute(each))
    }
    assert set(told) == {each for each, level in enumerate(counted) if level > limit}
    assert max(told.values(), default=0) == max((x for x in counted if x > limit), default=0)
    first = next((each for each in range(since, since + length) if counted[each] < limit), None)
    span = Span(MONDAY + minute(since), MONDAY + minute(since + length))
    below = Levels(uses).first_below(limit, span=span)
    assert below == (None if first is None else MONDAY + minute(first))


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["D1", "D2"]), st.integers(0, 30)), max_size=4),
    st.integers(1, 300),
)
def test_power_agrees_with_counting_minute_by_minute(runs: list[tuple[str, int]], limit: int):
    """Runs of five hours on the grid; 7.5 kW for three hours, then 60 % of it."""
    plan = Plan(good_plan().week, "full", tuple(_run(*each) for each in runs), ())
    asked = with_limits(good_asked(), supply_watts=limit * 100)
    drawn = [0] * 480
    for _, start in runs:
        for each in range(300):
            drawn[start * 5 + each] += 7500 if each < 180 else 4500
    over = any(sum(drawn[at_ : at_ + 15]) > limit * 100 * 15 for at_ in range(0, 480, 15))
    assert bool(list(check_power(Reading.of(asked, plan, rules=FULL)))) == over


def _run(dryer_id: str, start: int) -> Run:
    begins = at("Mon 08:00") + minute(start * 5)
    ends = begins + minute(300)
    return Run(f"{dryer_id} {start}", dryer_id, 57.0, begins, ends, ends, None, None, ())


def test_a_clock_change_bends_no_duration():
    """Clocks go back on that Sunday: 12 h from Saturday 18:00 end at 05:00 by the clock."""
    week = Week(2026, 44)
    staffed = (*weekly("Sat", "07:00", "19:00"), *weekly("Sun", "06:00", "19:00"))
    asked = replace(with_kitchen(good_asked(), staffed=staffed), week=week)
    note = replace(
        asked.note("N6"),
        arrives=at("Sat 08:00", week=week),
        latest_start=at("Sun 08:00", week=week),
    )
    asked = replace(asked, notes=(note,))
    start, opening = at("Sat 18:00", week=week), at("Sun 06:00", week=week)
    for end, rules in (("Sun 05:00", []), ("Sun 06:00", [6])):
        run = replace(PEPPER, start=start, end=at(end, week=week), released=opening)
        faults = verify(asked, Plan(week, "simple", (run,), ()), SIMPLE)
        assert [fault.rule for fault in faults] == rules
