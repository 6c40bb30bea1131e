"""Whether the record of a week agrees with itself, the kitchen and the notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from scheduler.errors import InputFault
from scheduler.scenario.hours import instant
from scheduler.scenario.kitchen_rows import KitchenFile
from scheduler.scenario.rows import HappenedRow
from scheduler.scenario.tables import Numbered

Rows = Iterable[Numbered[HappenedRow]]


def happened_faults(
    file: KitchenFile, rows: Rows, *, notes: frozenset[str] | None
) -> Iterator[InputFault]:
    """What contradicts itself; notes is None where their own table is at fault."""
    stations = {station_id for _, station_id in file.stations()}
    listed = list(rows)
    for numbered in listed:
        yield from _times(file, numbered)
        if numbered.row.what == "run":
            yield from _run_cells(file, numbered, notes)
        elif numbered.row.station_id not in stations:
            yield numbered.fault("station_id", f"no such station: {numbered.row.station_id!r}")
    yield from _runs_agree(file, [each for each in listed if each.row.what == "run"])


def _times(file: KitchenFile, numbered: Numbered[HappenedRow]) -> Iterator[InputFault]:
    row, zone, now = numbered.row, file.kitchen.zone, file.scenario.now
    start = instant(row.start, zone)
    if now is None:
        yield numbered.fault("start", "kitchen.toml does not say what time it is: [scenario] now")
    elif start > instant(now, zone):
        yield numbered.fault("start", "is after [scenario] now of kitchen.toml")
    if row.end and instant(row.end, zone) <= start:
        yield numbered.fault("end", "is not after the start")


def _run_cells(
    file: KitchenFile, numbered: Numbered[HappenedRow], notes: frozenset[str] | None
) -> Iterator[InputFault]:
    row = numbered.row
    for field in ("end", "set_point_c", "note_id", "racks"):
        if getattr(row, field) is None:
            yield numbered.fault(field, "is missing; a run needs it")
    if row.station_id not in {dryer.id for dryer in file.dryers}:
        yield numbered.fault("station_id", f"no such dryer: {row.station_id!r}")
    if notes is not None and row.note_id and row.note_id not in notes:
        yield numbered.fault("note_id", f"no such note in harvest_notes.csv: {row.note_id!r}")


def _runs_agree(file: KitchenFile, rows: list[Numbered[HappenedRow]]) -> Iterator[InputFault]:
    room = {dryer.id: dryer.racks for dryer in file.dryers}
    zone = file.kitchen.zone
    together: dict[tuple[str, datetime], list[Numbered[HappenedRow]]] = {}
    for numbered in rows:
        key = (numbered.row.station_id, instant(numbered.row.start, zone))
        together.setdefault(key, []).append(numbered)
    free: dict[str, datetime] = {}
    for (dryer, start), run in sorted(together.items()):
        first, last = run[0].row, run[-1]
        if len({(each.row.end, each.row.set_point_c) for each in run}) > 1:
            yield last.fault("end", "rows of one run must have the same end and set point")
        if sum(each.row.racks or 0 for each in run) > room.get(dryer, 0) and dryer in room:
            yield last.fault("racks", f"{dryer} has only {room[dryer]} racks")
        if dryer in free and start < free[dryer]:
            yield last.fault("start", f"{dryer} is still in its run before")
        if first.end:
            free[dryer] = instant(first.end, zone)
