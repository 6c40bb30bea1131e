"""What a manager reads: times by the kitchen's clock, weights and heat in the kitchen's units."""

from __future__ import annotations

from datetime import timedelta

import pytest

from scheduler.domain.rules import FULL
from scheduler.verify import verify
from scheduler.verify.wording import Wording, lasting
from tests.builders import ZONE, at, span
from tests.verify.changes import with_charge, with_kitchen, with_run
from tests.verify.good_notes import good_asked
from tests.verify.good_week import good_plan


@pytest.mark.parametrize(
    ("seconds", "told"),
    [(0, "no time"), (45, "45 s"), (1200, "20 min"), (5400, "1 h 30 min"), (3605, "1 h 5 s")],
)
def test_durations(seconds: int, told: str):
    assert lasting(seconds) == told


def test_times_are_told_by_the_kitchens_clock():
    say = Wording(ZONE, "kg", "C")
    assert say.at(at("Mon 09:05")) == "Mon 17 Aug 09:05"
    assert say.at(at("Sun 23:59:30")) == "Sun 23 Aug 23:59:30"
    assert say.when(span("Tue 07:00", "07:30")) == "Tue 18 Aug 07:00 to Tue 18 Aug 07:30"
    assert say.at(at("Next 00:00") + timedelta(days=100)) == "Tue 1 Dec 23:00"


def test_weight_and_heat_are_told_in_the_kitchens_units():
    metric, other = Wording(ZONE, "kg", "C"), Wording(ZONE, "lb", "F")
    assert (metric.weight(35_621), other.weight(45_359)) == ("35.621 kg", "99.999 lb")
    assert (metric.heat(58.5), other.heat(60.0)) == ("58.5 °C", "140 °F")
    assert (metric.degrees(3), other.degrees(3)) == ("3 °C", "5.4 °F")


def test_a_fault_names_its_run_and_charge():
    plan = with_run(good_plan(), "D1 Tue", set_point_c=60.5)
    asked = with_kitchen(good_asked(), temperature_unit="F")
    (fault,) = verify(asked, plan, FULL)
    assert (fault.rule, fault.run_id, fault.charge) == (6, "D1 Tue", "N2 B")
    assert fault.message == "N2 B dries at 140.9 °F; its card asks 134.6 °F within 5.4 °F"


def test_faults_come_in_order_of_rule():
    plan = with_charge(with_run(good_plan(), "D2 Fri", unload=None), "N6", after=None)
    plan = with_run(plan, "D2 Tue", set_point_c=30.0)
    assert [fault.rule for fault in verify(good_asked(), plan)] == [3, 6, 17]
