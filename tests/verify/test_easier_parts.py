"""Equal parts of a lot, where a gram more asks for a rack more (easier rules)."""

from dataclasses import replace

from scheduler.domain.rules import SIMPLE
from scheduler.expand import expanded
from scheduler.prepare import problem
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.scenario import load
from scheduler.units import Grams
from scheduler.verify import verify
from scheduler.whiteboard import whiteboard


def test_all_parts_have_the_racks_of_the_heaviest():
    august = load("august")
    note = next(each for each in august.notes if each.id == "R09")  # too large for any dryer
    card, area = august.card(note.card_id), august.kitchen.dryers[0].rack_area_cm2

    def racks(prepared_g: int) -> int:
        return racks_needed(Grams(prepared_g), card.g_per_m2, rack_area_cm2=area)

    def parted(field_g: int) -> bool:
        whole = trimmed_g(Grams(field_g), card.trim_loss_percent)
        return racks(whole // 2) < racks(whole - whole // 2)

    field_g = next(each for each in range(note.field_g, 2 * note.field_g) if parted(each))
    asked = replace(august, notes=(replace(note, field_g=Grams(field_g)),))
    plan = expanded(asked, week := problem(asked, SIMPLE), whiteboard(week))
    assert len({charge.prepared_g for _, charge in plan.charges()}) == 2
    assert len({charge.racks for _, charge in plan.charges()}) == 1
    assert verify(asked, plan, SIMPLE) == ()
