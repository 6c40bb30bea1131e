"""Changes that give the kitchen more: an hour in the evening, a station, a dryer, a hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any, TypeVar

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer, Hand, Kitchen, PackingBench, Steamer, Table, WashLine
from scheduler.domain.rules import RuleBook
from scheduler.reasons.changes import Change, takes
from scheduler.units import ceil_div
from scheduler.wording import count, listed

LAST_CLOSING = time(23)  # an hour more must end by midnight
Station = TypeVar("Station", Dryer, Steamer, Table, WashLine, PackingBench)


def an_hour_more(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """The kitchen is staffed one hour longer in the evening of one day, by those on shift then."""
    for day in _days(asked, note):
        closes = max(each.closes for each in _on(day, asked.kitchen.staffed))
        if time(0) < closes < LAST_CLOSING:
            closing = (datetime.combine(day, closes) + timedelta(hours=1)).time()
            stay = _there_at(closes, asked.kitchen.hands, day)
            there = f", with {listed(stay)} there" if stay else ""
            words = f"the kitchen were staffed until {closing:%H:%M} on {day:%A}{there}"
            yield Change.of_kitchen(2, words, _staffed_until(day, closing, stay))


def _staffed_until(day: date, closing: time, stay: list[str]) -> Callable[[Kitchen], Kitchen]:
    def to(kitchen: Kitchen) -> Kitchen:
        hands = (
            replace(hand, shifts=_until(hand.shifts, day, closing)) if hand.name in stay else hand
            for hand in kitchen.hands
        )
        staffed = _until(kitchen.staffed, day, closing)
        return replace(kitchen, staffed=staffed, hands=tuple(hands))

    return to


def _until(hours: tuple[WeeklyHours, ...], day: date, closing: time) -> tuple[WeeklyHours, ...]:
    """The hours with a later closing on one weekday."""
    last = max(_on(day, hours), key=lambda each: each.closes)
    return tuple(replace(each, closes=closing) if each is last else each for each in hours)


def _days(asked: Asked, note: HarvestNote) -> Iterator[date]:
    """Staffed days from the note's arrival to the day after its latest start."""
    zone = asked.kitchen.zone
    first = note.arrives.astimezone(zone).date()
    last = note.latest_start.astimezone(zone).date() + timedelta(days=1)
    for day in asked.kitchen.open_days(asked.week.days):
        if first <= day <= last and _on(day, asked.kitchen.staffed):
            yield day


def _on(day: date, hours: tuple[WeeklyHours, ...]) -> list[WeeklyHours]:
    return [each for each in hours if each.weekday == day.weekday()]


def _there_at(closes: time, hands: tuple[Hand, ...], day: date) -> list[str]:
    return [hand.name for hand in hands if any(s.closes == closes for s in _on(day, hand.shifts))]


def a_hand_more(asked: Asked, rules: RuleBook, note: HarvestNote) -> Iterator[Change]:
    """One more kitchen hand through the staffed hours of one day."""
    for day in _days(asked, note) if rules.hands else ():
        shifts = tuple(_on(day, asked.kitchen.staffed))
        hours = listed(f"{each.opens:%H:%M} to {each.closes:%H:%M}" for each in shifts)
        words = f"one more kitchen hand were on shift on {day:%A}, {hours}"
        hand = Hand(f"one more hand on {day:%A}", "kitchen hand", shifts)
        yield Change.of_kitchen(12, words, _with_hand(hand))


def _with_hand(hand: Hand) -> Callable[[Kitchen], Kitchen]:
    return lambda kitchen: replace(kitchen, hands=(*kitchen.hands, hand))


def a_station_more(asked: Asked, rules: RuleBook, note: HarvestNote) -> Iterator[Change]:
    """One more of each kind of station that the note would use, dryers aside."""
    kitchen, card = asked.kitchen, asked.card(note.card_id)
    stations = (
        (rules.tables, 11, "table", "tables"),
        (rules.tables, 11, "wash line", "wash_lines"),
        (rules.steamers and card.steam_s > 0, 10, "steamer", "steamers"),
        (rules.packing, 17, "packing bench", "benches"),
    )
    for in_use, rule, kind, where in stations:
        for station in _kinds(getattr(kitchen, where)) if in_use else ():
            yield _one_more(rule, kind, where, station)
    if rules.cold_store and not card.waits_outside_cold:
        yield _more_crates(ceil_div(note.field_g, kitchen.cold_store.crate_g))


def a_dryer_more(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """One more of each kind of dryer that takes the note, the smallest first."""
    card = asked.card(note.card_id)
    kinds = _kinds(tuple(each for each in asked.kitchen.dryers if takes(each, card)))
    for dryer in sorted(kinds, key=lambda each: each.racks * each.rack_area_cm2):
        yield _one_more(5, "dryer", "dryers", dryer)


def _kinds(stations: tuple[Station, ...]) -> list[Station]:
    """The first of each kind: stations that differ in nothing but their names are of one."""
    kinds: dict[Station, Station] = {}
    for station in stations:
        kinds.setdefault(replace(station, id="", name=""), station)
    return list(kinds.values())


def _one_more(
    rule: int, kind: str, where: str, station: Dryer | Steamer | Table | WashLine | PackingBench
) -> Change:
    """where: the kitchen's field that holds such stations."""
    twin = replace(station, id=f"{station.id} more")

    def to(kitchen: Kitchen) -> Kitchen:
        longer: dict[str, Any] = {where: (*getattr(kitchen, where), twin)}
        return replace(kitchen, **longer)

    return Change.of_kitchen(rule, f"there were one more {kind} like {station.name}", to)


def _more_crates(crates: int) -> Change:
    def to(kitchen: Kitchen) -> Kitchen:
        store = kitchen.cold_store
        return replace(kitchen, cold_store=replace(store, crates=store.crates + crates))

    return Change.of_kitchen(11, f"the cold store held {count(crates, 'crate')} more", to)
