"""A search verifies every plan it finds: a week of many lots must take little time."""

from __future__ import annotations

from dataclasses import replace
from time import process_time

from scheduler.domain.asked import Asked
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.verify import verify
from tests.verify.changes import with_kitchen, with_limits
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan

KITCHENS = 10
MOST_S = 0.05


def under_one_roof(count: int) -> tuple[Asked, Plan]:
    """As many good weeks side by side, each with stations, people and lots of its own."""
    asked, plan = good_asked(), good_plan()
    parts = [_renamed(asked, plan, f"{place}:") for place in range(count)]
    stations = ("dryers", "steamers", "chill_tubs", "wash_lines", "tables", "benches", "hands")
    together = {
        kind: tuple(each for one, _ in parts for each in getattr(one.kitchen, kind))
        for kind in stations
    }
    store = replace(asked.kitchen.cold_store, crates=7 * count)
    asked = with_kitchen(asked, **together, cold_store=store)
    asked = with_limits(asked, supply_watts=15_000 * count)
    asked = replace(
        asked,
        growers=tuple(each for one, _ in parts for each in one.growers),
        notes=tuple(each for one, _ in parts for each in one.notes),
    )
    plan = replace(
        plan,
        runs=tuple(run for _, one in parts for run in one.runs),
        duties=tuple(duty for _, one in parts for duty in one.duties),
        proof=None,
    )
    return asked, plan


def _renamed(asked: Asked, plan: Plan, mark: str) -> tuple[Asked, Plan]:
    def marked(things: tuple, field: str = "id") -> tuple:  # type: ignore[type-arg]
        return tuple(replace(each, **{field: mark + getattr(each, field)}) for each in things)

    kitchen = asked.kitchen
    stations = ("dryers", "steamers", "chill_tubs", "wash_lines", "tables", "benches")
    changed = {kind: marked(getattr(kitchen, kind)) for kind in stations}
    asked = with_kitchen(asked, **changed, hands=marked(kitchen.hands, "name"))
    notes = marked(marked(asked.notes), "grower_id")
    asked = replace(asked, growers=marked(asked.growers), notes=notes)
    duties = plan.duties
    for field in ("who", "station_id", "subject"):
        duties = marked(duties, field)
    runs = tuple(_run(run, mark) for run in plan.runs)
    return asked, replace(plan, runs=runs, duties=duties)


def _run(run: Run, mark: str) -> Run:
    charges = tuple(_charge(charge, mark) for charge in run.charges)
    return replace(run, id=mark + run.id, dryer_id=mark + run.dryer_id, charges=charges)


def _charge(charge: Charge, mark: str) -> Charge:
    before, after = charge.preparation, charge.after
    assert before
    assert after
    before = replace(
        before,
        wash_line_id=mark + before.wash_line_id,
        tables=tuple(replace(each, table_id=mark + each.table_id) for each in before.tables),
        steam_loads=tuple(
            replace(each, steamer_id=mark + each.steamer_id, tub_id=mark + each.tub_id)
            for each in before.steam_loads
        ),
    )
    after = replace(after, bench_id=mark + after.bench_id)
    return replace(charge, note_id=mark + charge.note_id, preparation=before, after=after)


def test_seventy_charges_are_verified_in_little_time():
    asked, plan = under_one_roof(KITCHENS)
    assert len(list(plan.charges())) == 70
    assert verify(asked, plan) == ()
    took = []
    for _ in range(5):
        since = process_time()
        verify(asked, plan)
        took.append(process_time() - since)
    assert min(took) < MOST_S
