"""A mend where something stops again, under part-lots that dry on or are kept cold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scheduler.domain.asked import Asked
from scheduler.domain.outage import Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.domain.rules import FULL
from scheduler.emergency import emergency, stopped_stations
from scheduler.re_lay import Limits, in_hand, re_laid
from scheduler.verify import verify
from tests.builders import at
from tests.re_lay.test_re_lay import NOW, in_the_night

SHORT = Limits(seconds=None, work=0.1, workers=1)
AGAIN = at("Wed 02:00")


@pytest.fixture(scope="module")
def posted() -> tuple[Asked, Plan]:
    """The plan of the first mend: A dries on in D2, B is in the cold store."""
    asked, plan = in_the_night(FULL)
    mended = re_laid(asked, plan, NOW, limits=SHORT).small.plan
    firm = frozenset(charge.note_id for _, charge in mended.charges())
    return replace(asked, promised=Promised(mended, firm)), mended


def down(asked: Asked, *stations: str) -> Asked:
    more = (Outage(each, AGAIN, None, "demo") for each in stations)
    outages = (*asked.happened.outages, *more)
    return replace(asked, happened=replace(asked.happened, outages=outages))


@pytest.mark.parametrize("stations", [("D2",), ("K1",), ("D2", "K1")], ids="+".join)
def test_a_second_stop_is_mended(posted: tuple[Asked, Plan], stations: tuple[str, ...]):
    asked, plan = posted
    told = down(asked, *stations)
    assert set(stations) <= set(stopped_stations(told, plan, AGAIN))
    found = re_laid(told, plan, AGAIN, limits=SHORT)
    made = found.small.plan
    assert verify(in_hand(told, plan, AGAIN, made.part_lots), made, FULL) == ()
    assert stopped_stations(told, made, AGAIN) == []
    last = {each.code: each for each in sorted(made.part_lots, key=lambda each: each.stopped)}
    assert sum(each.racks for each in last.values()) == 40


def test_where_nothing_cold_is_left_a_person_is_asked_and_the_rest_is_mended(
    posted: tuple[Asked, Plan],
):
    asked, plan = posted
    told = down(asked, "K1", "F1")
    found = re_laid(told, plan, AGAIN, limits=SHORT)
    asks = [each.code for each in found.small.plan.part_lots if each.in_control is None]
    assert asks == [each.code for each in emergency(told, plan, "K1", AGAIN).decisions]
    assert asks
