"""The work of stations: runs, unloading and wash-down at the dryers, and each charge elsewhere."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import AfterDryer, Charge, Plan, Preparation, Run, SteamLoad
from scheduler.domain.turn import Turn, TurnKind
from scheduler.started import all_runs
from scheduler.turns.context import Context, station_names
from scheduler.units import ceil_div
from scheduler.wording import count, duration, temperature


def work_of(
    asked: Asked, plan: Plan, *, at: datetime, firm: Collection[str] = (), sequence: int = 0
) -> tuple[Turn, ...]:
    """What every station does in the week, in order of start; started runs are among it.

    at: when it was decided (UTC). firm: ids of the notes that are promised; a run is firm where any
    of its charges is. sequence: what grows with every posting, such as the plan's number.
    """
    found = _Stations(Context(asked, plan, at, firm), station_names(asked.kitchen), sequence)
    return tuple(sorted(found.turns(), key=lambda each: (each.start, each.uid)))


@dataclass(frozen=True, slots=True)
class _Work:
    kind: TurnKind
    station_id: str
    span: Span
    facts: tuple[str, ...] = ()


class _Stations:
    def __init__(self, context: Context, stations: dict[str, str], sequence: int) -> None:
        self.context = context
        self.stations = stations
        self.sequence = sequence

    def turns(self) -> Iterator[Turn]:
        for run in all_runs(self.context.asked, self.context.plan):
            for work in self._at_the_dryer(run):
                yield self._turn(work, run.charges)
            for charge in run.charges:
                for work in self._with_the_charge(charge):
                    yield self._turn(work, (charge,))

    def _turn(self, work: _Work, charges: Sequence[Charge]) -> Turn:
        """A run keeps its uid while the first of its charges stays in it."""
        context = self.context
        first = min(charges, key=lambda each: (each.note_id, each.letter))
        lots = "; ".join(context.lot(charge) for charge in charges)
        return Turn(
            uid=context.uid(work.station_id, work.kind, first.note_id, first.letter),
            kind=work.kind,
            whose=work.station_id,
            note_id=first.note_id if len(charges) == 1 else "",
            subject=", ".join(charge.code for charge in charges),
            start=work.span.start,
            end=work.span.end,
            state=context.state(*(charge.note_id for charge in charges)),
            title=f"{work.kind.capitalize()}: {lots}",
            place=self.stations[work.station_id],
            facts=work.facts,
            changed_at=context.at,
            sequence=self.sequence,
        )

    def _at_the_dryer(self, run: Run) -> Iterator[_Work]:
        """A run takes its dryer from its start to the end of cool hold."""
        unit = self.context.asked.kitchen.temperature_unit
        racks, hours = count(run.racks, "rack"), duration(Span(run.start, run.end).seconds)
        facts = (
            f"{racks}, {temperature(run.set_point_c, unit)}, {hours}",
            self.context.drying(run, run.start),
        )
        yield _Work("run", run.dryer_id, Span(run.start, run.released), facts)
        if run.unload:
            yield _Work("unload", run.dryer_id, run.unload, (racks, *self._who("unload", run.id)))
        if run.wash_down:
            who = self._who("wash-down", run.id)
            yield _Work("wash-down", run.dryer_id, run.wash_down, who)

    def _with_the_charge(self, charge: Charge) -> Iterator[_Work]:
        if charge.preparation:
            yield from self._before(charge, charge.preparation)
        if charge.after:
            yield from self._after(charge, charge.after)

    def _before(self, charge: Charge, made: Preparation) -> Iterator[_Work]:
        field = (self.context.weight(charge.field_g),)
        yield from self._in_the_cold(charge, made)
        yield _Work("washing", made.wash_line_id, made.wash, field)
        for place in made.tables:
            yield _Work("cutting", place.table_id, made.cut, (*field, f"by the {place.crew}"))
        for steamer_id in dict.fromkeys(load.steamer_id for load in made.steam_loads):
            loads = [load for load in made.steam_loads if load.steamer_id == steamer_id]
            who = self._who("steam", charge.code, steamer_id)
            span = Span(loads[0].start, max(load.end for load in loads))
            yield _Work("steaming", steamer_id, span, (*self._loads(loads), *who))
        for tub_id in dict.fromkeys(load.tub_id for load in made.steam_loads):
            loads = [load for load in made.steam_loads if load.tub_id == tub_id]
            span = Span(min(load.end for load in loads), max(load.chilled for load in loads))
            yield _Work("chilling", tub_id, span, (count(len(loads), "load"),))

    def _in_the_cold(self, charge: Charge, made: Preparation) -> Iterator[_Work]:
        """In crates from the arrival until it is cut (rule 11)."""
        asked = self.context.asked
        note, cold = asked.note(charge.note_id), asked.kitchen.cold_store
        if not asked.card(note.card_id).waits_outside_cold:
            crates = count(ceil_div(charge.field_g, cold.crate_g), "crate")
            yield _Work("keeping", cold.id, Span(note.arrives, made.cut.start), (crates,))

    def _loads(self, loads: Sequence[SteamLoad]) -> Iterator[str]:
        """ "3 loads of 4.5 kg"; loads of a charge weigh the same, to the gram."""
        yield f"{count(len(loads), 'load')} of {self.context.weight(loads[0].grams)}"

    def _after(self, charge: Charge, after: AfterDryer) -> Iterator[_Work]:
        meters = self.context.asked.kitchen.meters
        if meters:
            who = self._who("dry check", charge.code)
            yield _Work("dry check", meters[0].id, after.dry_check, who)
        yield _Work("packing", after.bench_id, after.packing, (count(after.bags, "bag"),))

    def _who(self, work: str, subject: str, station_id: str | None = None) -> tuple[str, ...]:
        """Names of those on that duty, in order of start, each once."""
        growers = {each.id: each.name for each in self.context.asked.growers}
        wanted = (
            duty
            for duty in sorted(self.context.plan.duties, key=lambda each: each.span)
            if (duty.work, duty.subject) == (work, subject)
            and station_id in (None, duty.station_id)
        )
        return tuple(dict.fromkeys(growers.get(duty.who, duty.who) for duty in wanted))
