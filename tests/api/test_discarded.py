"""A grower hears of racks of hers that a person decided to discard after a stop."""

from __future__ import annotations

from dataclasses import replace

from api.records.plans import KeptPlan
from api.services.messages import discarded_since, lines_for
from scheduler.domain.part_lot import Discarded, PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency import proposals
from scheduler.scenario import load
from tests.builders import at

NIGHT = load("dryer_down")
STOP = at("Tue 22:10")
FIRST, SECOND = next(proposals(NIGHT, None, "D3", STOP))
GONE = Discarded("Lotte Amberry", at("Wed 02:40"))


def kept(*parts: PartLot) -> KeptPlan:
    return KeptPlan(1, STOP, "posted", NIGHT, Plan(NIGHT.week, "full", (), (), part_lots=parts))


def discarded(part: PartLot) -> PartLot:
    return replace(part, held=None, dries_on=None, discarded=GONE)


def test_her_text_says_by_how_much_her_lot_is_short():
    plan = kept(FIRST, discarded(SECOND))
    (line,) = lines_for(plan, (), "G11")
    assert "R09" in line
    assert "20 racks (58.8 kg prepared) came to nothing" in line
    assert "Lotte" not in line
    assert list(lines_for(plan, (), "G01")) == []
    assert list(lines_for(plan, (), "G11", besides={"R09"})) == []


def test_both_parts_are_told_as_one():
    (line,) = lines_for(kept(discarded(FIRST), discarded(SECOND)), (), "G11")
    assert "40 racks (118 kg prepared)" in line


def test_nothing_is_told_of_what_dries_on():
    assert list(lines_for(kept(FIRST, SECOND), (), "G11")) == []


def test_it_concerns_her_once():
    before, after = kept(FIRST, SECOND), kept(FIRST, discarded(SECOND))
    assert discarded_since(before, after) == {"G11"}
    assert discarded_since(None, after) == {"G11"}
    assert discarded_since(after, after) == set()
