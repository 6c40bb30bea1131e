"""From a plan with the note in it to what its grower is told: turns, charges, price, bags."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from scheduler.answer.values import Bags, PlacedCharge, Price, TurnToCome
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.papers import short_in
from scheduler.process import money, yields
from scheduler.turns import attending, by_day, stays
from scheduler.units import Seconds

Placed = tuple[Run, Charge]


@dataclass(frozen=True, slots=True)
class Telling:
    """One note's charges in a plan that holds, against the kitchen and the plan before."""

    asked: Asked
    posted: Plan
    plan: Plan
    note: HarvestNote

    def placed(self) -> tuple[Placed, ...]:
        own = (each for each in self.plan.charges() if each[1].note_id == self.note.id)
        return tuple(sorted(own, key=lambda each: (each[1].letter, each[0].start)))

    def arrive(self) -> Span:
        """From its arrival to the start of the first wash (of the first run, where nothing before
        the dryer is laid out)."""
        starts = (c.preparation.wash.start if c.preparation else r.start for r, c in self.placed())
        return Span(self.note.arrives, min(starts))

    def turns(self) -> tuple[TurnToCome, ...]:
        """One bringing turn for every day of work before the dryer, one packing turn for every
        day of packing."""
        work = [span for each in self.placed() for span in stays(self.asked, self.plan, *each)]
        packing = [charge.after.packing for _, charge in self.placed() if charge.after]
        zone = self.asked.kitchen.zone
        turns = [TurnToCome("bringing", span) for span in by_day(work, zone)]
        turns += [TurnToCome("packing", span) for span in by_day(packing, zone)]
        return tuple(sorted(turns, key=lambda turn: turn.span))

    def charges(self) -> Iterator[PlacedCharge]:
        before = {run.id for run in self.posted.runs}
        for run, charge in self.placed():
            made, after = charge.preparation, charge.after
            yield PlacedCharge(
                letter=charge.letter,
                dryer_id=run.dryer_id,
                dryer=self.asked.kitchen.dryer(run.dryer_id).name,
                run_id=run.id,
                shares_run=run.id in before,
                racks=charge.racks,
                start=run.start,
                end=run.end,
                steam_loads=len(made.steam_loads) if made else 0,
                packing=after.packing if after else None,
                bags=self._bags(charge).likely,
            )

    def _bags(self, charge: Charge) -> Bags:
        card = self.asked.card(self.note.card_id)
        dried = yields.dried_g(
            charge.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent
        )
        return Bags(yields.bags(dried, card.bag_g), *yields.bag_range(dried, card.bag_g))

    def bags(self) -> Bags:
        """Charge by charge: what is left over of one fills no bag of the next."""
        each = [self._bags(charge) for _, charge in self.placed()]
        return Bags(
            sum(bags.likely for bags in each),
            sum(bags.fewest for bags in each),
            sum(bags.most for bags in each),
        )

    def price(self) -> Price:
        """At the kitchen's fees; a grower without shares is no member."""
        kitchen, bags = self.asked.kitchen, self.bags().likely
        card = self.asked.card(self.note.card_id)
        member = self.asked.grower(self.note.grower_id).shares > 0
        usage = money.usage_of(self.note, card, kitchen.cold_store, placed=self.placed())
        lines = money.fee_lines(usage, kitchen.fees, zone=kitchen.zone, member=member)
        packs = money.FeeLine("bags", Fraction(bags), kitchen.fees.bag)
        fees, own = money.total(lines), money.own_work(self._own_s(), kitchen.fees)
        even = money.break_even(fees + packs.amount, bags, own=own) if bags else None
        return Price(lines, packs, fees, own, even)

    def _own_s(self) -> Seconds:
        """Person-seconds of her own work: as many as come wash, cut and attend; one packs."""
        people, total = self.asked.grower(self.note.grower_id).people, 0
        for _, charge in self.placed():
            made, after = charge.preparation, charge.after
            attends = sum(duty.span.seconds for duty in attending(self.asked, self.plan, charge))
            if made is not None:
                total += people * (made.wash.seconds + made.cut.seconds + attends)
            total += after.packing.seconds if after else 0
        return Seconds(total)

    def papers_short(self) -> tuple[str, ...]:
        """What is out of date on any day of its turns (rule 15)."""
        return short_in(self.asked, self.plan, self.note)
