"""The turns of growers: one bringing turn for each day of work on a charge, one packing turn."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import AfterDryer, Charge, Plan, Preparation, Run
from scheduler.domain.turn import Turn, TurnKind
from scheduler.turns.context import Context, place_of, station_names
from scheduler.turns.stays import attending, stays
from scheduler.wording import count, listed


def turns_of(
    asked: Asked, plan: Plan, *, at: datetime, firm: Collection[str] = ()
) -> tuple[Turn, ...]:
    """Every turn of the plan in order of start.

    at: when it was decided (UTC). firm: ids of the notes whose growers are promised their turns;
    all others are pencilled. Under a rule book that leaves preparation out, a bringing turn lasts
    from the arrival to the start of the run. Runs that have started bring no turns: moved() keeps
    those that stand.
    """
    found = _Growers(Context(asked, plan, at, firm), station_names(asked.kitchen))
    return tuple(sorted(found.turns(), key=lambda each: (each.start, each.uid)))


class _Growers:
    def __init__(self, context: Context, stations: dict[str, str]) -> None:
        self.context = context
        self.stations = stations

    def turns(self) -> Iterator[Turn]:
        for run, charge in self.context.plan.charges():
            own = stays(self.context.asked, self.context.plan, run, charge)
            for day, span in enumerate(own, 1):
                facts = tuple(self._bringing(run, charge, span.start))
                yield self._turn("bringing", charge, span, facts, day=day)
            if charge.after:
                facts = self._packing(charge, charge.after)
                yield self._turn("packing", charge, charge.after.packing, facts)

    def _turn(
        self, kind: TurnKind, charge: Charge, span: Span, facts: tuple[str, ...], *, day: int = 1
    ) -> Turn:
        context = self.context
        part = kind if day == 1 else f"{kind} {day}"
        return Turn(
            uid=context.uid(charge.note_id, charge.letter, part),
            kind=kind,
            whose=context.asked.note(charge.note_id).grower_id,
            note_id=charge.note_id,
            subject=charge.code,
            start=span.start,
            end=span.end,
            state=context.state(charge.note_id),
            title=f"{kind.capitalize()} turn: {context.lot(charge)}",
            place=place_of(context.asked.kitchen),
            facts=facts,
            changed_at=context.at,
        )

    def _bringing(self, run: Run, charge: Charge, since: datetime) -> Iterator[str]:
        context = self.context
        yield f"{context.weight(charge.field_g)} field weight"
        if charge.preparation:
            yield from self._preparing(charge, charge.preparation, since)
        racks = f"{count(charge.racks, 'rack')} in the {self.stations[run.dryer_id]}"
        yield f"{racks}; {context.drying(run, since)}"

    def _preparing(self, charge: Charge, made: Preparation, since: datetime) -> Iterator[str]:
        context = self.context
        tables = listed(self.stations[each.table_id] for each in made.tables)
        yield f"wash {context.from_to(made.wash, since)}"
        yield f"cut {context.from_to(made.cut, since)}: {tables}"
        if made.steam_loads:
            yield count(len(made.steam_loads), "steam load")
        for duty in attending(context.asked, context.plan, charge):
            steamer = self.stations[duty.station_id]
            yield f"you attend the {steamer} {context.from_to(duty.span, since)}"

    def _packing(self, charge: Charge, after: AfterDryer) -> tuple[str, ...]:
        card = self.context.asked.card(self.context.asked.note(charge.note_id).card_id)
        bags = f"{count(after.bags, 'bag')} of {card.bag_g:,} g"
        bench = f"at the {self.stations[after.bench_id]}"
        return (f"{bags} {bench}", "once passed at the dry check; check the label first")
