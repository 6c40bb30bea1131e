"""Checked rows turned into the domain's cards, growers, notes and record."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from scheduler.domain.harvest import Grower, HarvestNote, Paper
from scheduler.domain.outage import Happened, Outage, StartedCharge, StartedRun
from scheduler.domain.process_card import DryCheck, ProcessCard
from scheduler.errors import BrokenPromise
from scheduler.scenario.hours import absence_span, instant
from scheduler.scenario.kitchen_rows import ScenarioRow
from scheduler.scenario.rows import CardRow, GrowerRow, HappenedRow, NoteRow
from scheduler.units import Grams, Racks, Seconds

_UNTIL = "_until"


def to_card(row: CardRow) -> ProcessCard:
    """The process card of a row."""
    values = dict(row)
    dry_check = DryCheck(values.pop("most_water_activity"), values.pop("most_moisture_percent"))
    return ProcessCard(**values, dry_check=dry_check)


def to_grower(row: GrowerRow, zone: ZoneInfo) -> Grower:
    """The grower of a row; papers keep the order of their columns."""
    papers = (
        Paper(name.removesuffix(_UNTIL).replace("_", " "), cell if isinstance(cell, date) else None)
        for name, cell in row
        if name.endswith(_UNTIL) and cell is not None
    )
    return Grower(
        id=row.id,
        name=row.name,
        farm=row.farm,
        shares=row.shares,
        people=row.people,
        cannot=row.cannot,
        papers=tuple(papers),
        away=tuple(absence_span(each, zone) for each in row.away),
    )


def to_note(row: NoteRow, keeping_s: Seconds, zone: ZoneInfo) -> HarvestNote:
    """The harvest note of a row; without a latest start it is arrival + keeping time."""
    arrives = instant(row.arrives, zone)
    latest = row.latest_start
    return HarvestNote(
        id=row.id,
        grower_id=row.grower_id,
        card_id=row.card_id,
        field_g=Grams(row.field_g),
        arrives=arrives,
        latest_start=instant(latest, zone) if latest else arrives + timedelta(seconds=keeping_s),
        may_split=row.may_split,
        second_pair=row.second_pair,
        standing=row.standing,
        remark=row.remark,
    )


def to_happened(scenario: ScenarioRow, rows: Iterable[HappenedRow], zone: ZoneInfo) -> Happened:
    """The record; rows of one run stand together, in order of start and dryer."""
    listed = sorted(rows, key=lambda row: (instant(row.start, zone), row.station_id))
    runs = [row for row in listed if row.what == "run"]
    started = groupby(runs, key=lambda row: (row.station_id, instant(row.start, zone)))
    outages = (row for row in listed if row.what == "stop")
    return Happened(
        now=instant(scenario.now, zone) if scenario.now else None,
        runs=tuple(_started_run(list(together), zone) for _, together in started),
        outages=tuple(_outage(row, zone) for row in outages),
    )


def _started_run(rows: list[HappenedRow], zone: ZoneInfo) -> StartedRun:
    first = rows[0]
    if first.end is None or first.set_point_c is None:
        raise BrokenPromise("a run's row without its end or set point passed the checks")
    return StartedRun(
        dryer_id=first.station_id,
        set_point_c=first.set_point_c,
        start=instant(first.start, zone),
        end=instant(first.end, zone),
        charges=tuple(_started_charge(row) for row in rows),
    )


def _started_charge(row: HappenedRow) -> StartedCharge:
    stood = None if row.stood_s is None else Seconds(row.stood_s)
    return StartedCharge(row.note_id or "", Racks(row.racks or 0), stood)


def _outage(row: HappenedRow, zone: ZoneInfo) -> Outage:
    back = instant(row.end, zone) if row.end else None
    return Outage(row.station_id, instant(row.start, zone), back, row.cause)
