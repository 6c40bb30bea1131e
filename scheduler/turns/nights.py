"""Nights on call: what runs while nobody is in the house, when each run ends, who may be rung."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import UTC, date, datetime

from scheduler.day_sheet import day_sheet
from scheduler.day_sheet.sheet import NightRun, NightSheet
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.turn import ON_CALL, Turn
from scheduler.started import all_runs
from scheduler.turns.context import Context, place_of, station_names
from scheduler.wording import count, listed


def nights_of(
    asked: Asked, plan: Plan, *, at: datetime, firm: Collection[str] = (), sequence: int = 0
) -> tuple[Turn, ...]:
    """Each night with something in a dryer, from closing to the next opening, as on the day sheet.

    at, firm and sequence as in work_of; a night is firm where any of its lots is. Names, no
    telephone numbers: a calendar travels further than the sheet on the wall.
    """
    found = _Nights(Context(asked, plan, at, firm), station_names(asked.kitchen), sequence)
    return tuple(found.turns())


class _Nights:
    def __init__(self, context: Context, stations: dict[str, str], sequence: int) -> None:
        self.context = context
        self.stations = stations
        self.sequence = sequence
        runs = all_runs(context.asked, context.plan)
        self.notes = {charge.code: charge.note_id for run in runs for charge in run.charges}

    def turns(self) -> Iterator[Turn]:
        for day in self.context.asked.days:
            night = day_sheet(self.context.asked, self.context.plan, day).night
            if night and night.runs:
                yield self._turn(day, night)

    def _turn(self, day: date, night: NightSheet) -> Turn:
        notes = [self.notes[lot.code] for run in night.runs for lot in run.lots]
        return Turn(
            uid=self.context.uid(ON_CALL, str(day)),
            kind="on call",
            whose=ON_CALL,
            note_id="",
            subject=str(day),
            start=night.closes.astimezone(UTC),
            end=night.opens.astimezone(UTC),
            state=self.context.state(*notes),
            title=f"On call: {count(len(night.runs), 'dryer')} in use",
            place=place_of(self.context.asked.kitchen),
            facts=tuple(self._facts(night)),
            changed_at=self.context.at,
            sequence=self.sequence,
        )

    def _facts(self, night: NightSheet) -> Iterator[str]:
        yield from (self._run(run, night.closes) for run in night.runs)
        if night.on_call:
            yield f"may be rung: {listed(dict.fromkeys(each.name for each in night.on_call))}"

    def _run(self, run: NightRun, since: datetime) -> str:
        lots = "; ".join(f"{lot.crop}, {lot.code}" for lot in run.lots)
        held = run.cool_hold_until
        hold = f", cool hold to {self.context.clock(held, since)}" if held else ""
        ends = f"ends {self.context.clock(run.ends, since)}{hold}"
        return f"{self.stations[run.dryer_id]} {ends}: {lots}"
