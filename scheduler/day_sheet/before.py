"""Lines of a day from the door to the filled dryer: weigh in, wash, cut, steam, chill, fill."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter

from scheduler.day_sheet.context import Context
from scheduler.day_sheet.sheet import DOOR, Line, LoadTime, LotLabel
from scheduler.domain.plan import GROWER, Charge, Preparation, Run, TablePlace
from scheduler.units import ceil_div
from scheduler.wording import count, duration

OWN_RATE_PERCENT = 100  # what a table without a slicer says


def at_the_door(day: Context) -> Iterator[Line]:
    """One line for each note that has a place, whole or in part, and arrives that day."""
    placed: dict[str, list[Charge]] = {}
    for run in day.runs():
        for charge in run.charges:
            placed.setdefault(charge.note_id, []).append(charge)
    for note_id, charges in placed.items():
        note = day.asked.note(note_id)
        if day.today(note.arrives):
            yield Line(
                at=day.local(note.arrives),
                until=None,
                station_id=DOOR,
                act="weigh in",
                lots=(day.label(note_id),),
                amount=day.weight(note.field_g),
                who=(day.grower(note_id).name,),
                remark="; ".join(filter(None, (_where_it_waits(day, charges), note.remark))),
            )


def _where_it_waits(day: Context, charges: list[Charge]) -> str:
    if day.card(charges[0].note_id).waits_outside_cold:
        return "may wait outside"
    store = day.asked.kitchen.cold_store
    crates = sum(ceil_div(charge.field_g, store.crate_g) for charge in charges)
    return f"cold store, {count(crates, 'crate')}"


@dataclass(frozen=True, slots=True)
class _Making:
    """One charge on its way into its run."""

    day: Context
    run: Run
    charge: Charge
    made: Preparation

    @property
    def lots(self) -> tuple[LotLabel, ...]:
        return (self.day.label(self.charge.note_id, self.charge.letter),)

    @property
    def own_crew(self) -> tuple[str, ...]:
        helpers = self.day.on_duty("help", self.charge.code)
        return (self.day.grower(self.charge.note_id).name, *helpers)


def preparation(day: Context, run: Run, charge: Charge) -> Iterator[Line]:
    """The lines that prepare one charge, as far as they start that day."""
    if charge.preparation is None:
        return
    making = _Making(day, run, charge, charge.preparation)
    tables = (_cut(making, place) for place in making.made.tables)
    lines = (_wash(making), *tables, *_steam(making), *_chill(making), _fill(making))
    yield from (line for line in lines if line.at.date() == day.day)


def _wash(making: _Making) -> Line:
    return Line(
        at=making.day.local(making.made.wash.start),
        until=making.day.local(making.made.wash.end),
        station_id=making.made.wash_line_id,
        act="wash",
        lots=making.lots,
        amount=making.day.weight(making.charge.field_g),
        who=making.own_crew,
        remark="",
    )


def _cut(making: _Making, place: TablePlace) -> Line:
    day, charge = making.day, making.charge
    card = day.card(charge.note_id)
    table = next(each for each in day.asked.kitchen.tables if each.id == place.table_id)
    sliced = card.takes_slicer and table.slicer_percent > OWN_RATE_PERCENT
    hands = day.on_duty("cut", charge.code, table.id)
    return Line(
        at=day.local(making.made.cut.start),
        until=day.local(making.made.cut.end),
        station_id=table.id,
        act="cut",
        lots=making.lots,
        amount=day.weight(charge.field_g),
        who=making.own_crew if place.crew == GROWER else hands,
        remark=f"{card.cut}, slicer" if sliced else card.cut,
    )


def _steam(making: _Making) -> Iterator[Line]:
    day, charge = making.day, making.charge
    in_order = sorted(making.made.steam_loads, key=attrgetter("start", "steamer_id"))
    numbered = sorted(enumerate(in_order, 1), key=lambda each: each[1].steamer_id)
    steamed_for = duration(day.card(charge.note_id).steam_s)
    for steamer_id, group in groupby(numbered, key=lambda each: each[1].steamer_id):
        loads = list(group)
        yield Line(
            at=day.local(loads[0][1].start),
            until=day.local(loads[-1][1].end),
            station_id=steamer_id,
            act="steam",
            lots=making.lots,
            amount=f"{count(len(loads), 'load')} of {day.weight(loads[0][1].grams)}, {steamed_for}",
            who=day.on_duty("steam", charge.code, steamer_id),
            remark="",
            loads=tuple(
                LoadTime(number, day.local(load.start), day.local(load.steamed))
                for number, load in loads
            ),
        )


def _chill(making: _Making) -> Iterator[Line]:
    day = making.day
    by_tub = sorted(making.made.steam_loads, key=attrgetter("tub_id", "end"))
    for tub_id, group in groupby(by_tub, key=attrgetter("tub_id")):
        loads = list(group)
        each = duration(int((loads[0].chilled - loads[0].end).total_seconds()))
        yield Line(
            at=day.local(loads[0].end),
            until=day.local(loads[-1].chilled),
            station_id=tub_id,
            act="chill",
            lots=making.lots,
            amount=count(len(loads), "basket"),
            who=day.on_duty("steam", making.charge.code),
            remark=f"{each} each",
        )


def _fill(making: _Making) -> Line:
    day, charge, run = making.day, making.charge, making.run
    loads = making.made.steam_loads
    first = min((load.chilled for load in loads), default=making.made.cut.start)
    last_position = charge.first_rack + charge.racks - 1
    return Line(
        at=day.local(first),
        until=day.local(making.made.last_rack),
        station_id=run.dryer_id,
        act="fill",
        lots=making.lots,
        amount=f"{count(charge.racks, 'rack')}, {day.weight(charge.prepared_g)}",
        who=(day.grower(charge.note_id).name,),
        remark=f"positions {charge.first_rack} to {last_position}",
    )
