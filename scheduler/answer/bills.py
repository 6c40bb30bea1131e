"""What a week's plan costs its growers: every lot's fees with their lines, grower by grower."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.answer.told import Telling
from scheduler.answer.values import Bags, Price, TurnToCome
from scheduler.domain.asked import Asked
from scheduler.domain.harvest import Grower, HarvestNote
from scheduler.domain.plan import Plan
from scheduler.domain.process_card import ProcessCard
from scheduler.units import Grams

Answered = tuple[Asked, Plan]


@dataclass(frozen=True, slots=True)
class LotBill:
    """A note that has a place, at the weight that was told. waits_g: what of it has none."""

    note: HarvestNote
    card: ProcessCard
    turns: tuple[TurnToCome, ...]
    price: Price
    currency: str
    bags: Bags
    waits_g: Grams


@dataclass(frozen=True, slots=True)
class GrowerBill:
    """One grower's week. unplaced: her notes that wait whole, which cost nothing; under_way: in
    runs that had started before the plan was made, whose fees stand with a plan before that is not
    known here."""

    grower: Grower
    lots: tuple[LotBill, ...]
    unplaced: tuple[HarvestNote, ...]
    under_way: tuple[HarvestNote, ...]

    @property
    def fees(self) -> int:
        """In minor units, of all her lots."""
        return sum(lot.price.fees for lot in self.lots)


def bills(asked: Asked, plan: Plan, before: Sequence[Answered] = ()) -> tuple[GrowerBill, ...]:
    """Of every grower who has a note in the week, in order of id. before: as in bill_of."""
    theirs = {note.grower_id for note in asked.notes}
    growers = sorted((each for each in asked.growers if each.id in theirs), key=lambda one: one.id)
    return tuple(bill_of(asked, plan, each, before=before) for each in growers)


def bill_of(
    asked: Asked, plan: Plan, grower: Grower, *, before: Sequence[Answered] = ()
) -> GrowerBill:
    """Of one of them, her lots in order of call. before: plans posted earlier, the latest first,
    from which the bill of a note comes that is under way."""
    own = [note for note in asked.notes if note.grower_id == grower.id]
    found = {each.id: placed_bill(asked, plan, each, before=before) for each in own}
    started, without = ids_under_way(asked), [each for each in own if found[each.id] is None]
    return GrowerBill(
        grower=grower,
        lots=tuple(bill for bill in found.values() if bill is not None),
        unplaced=tuple(each for each in without if each.id not in started),
        under_way=tuple(each for each in without if each.id in started),
    )


def ids_under_way(asked: Asked) -> set[str]:
    """Of notes in runs that had started before a plan was made."""
    return {charge.note_id for run in asked.happened.runs for charge in run.charges}


def placed_bill(
    asked: Asked, plan: Plan, note: HarvestNote, *, before: Sequence[Answered] = ()
) -> LotBill | None:
    """By the plan; by the latest before that placed it where the note is under way; else None."""
    under_way = note.id in ids_under_way(asked)
    for kept, made in ((asked, plan), *(before if under_way else ())):
        if any(charge.note_id == note.id for _, charge in made.charges()):
            return lot_bill(kept, made, kept.note(note.id))
    return None


def lot_bill(asked: Asked, plan: Plan, note: HarvestNote) -> LotBill:
    """Of a note that has a place in the plan."""
    tells = Telling(asked, plan, plan, note)
    waits = (each.field_g for each in plan.waiting if each.note_id == note.id)
    return LotBill(
        note=note,
        card=asked.card(note.card_id),
        turns=tells.turns(),
        price=tells.price(),
        currency=asked.kitchen.currency,
        bags=tells.bags(),
        waits_g=Grams(sum(waits)),
    )
