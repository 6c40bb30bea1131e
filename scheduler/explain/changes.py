"""The changes that are tried for a note without a place, the least first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import WeeklyHours
from scheduler.domain.harvest import HarvestNote
from scheduler.domain.kitchen import Dryer, Hand, Kitchen
from scheduler.domain.process_card import ProcessCard
from scheduler.domain.rules import RuleBook
from scheduler.explain.sentences import moment
from scheduler.process.racks import racks_needed
from scheduler.process.yields import trimmed_g
from scheduler.units import Racks, ceil_div
from scheduler.wording import clock, count, listed, temperature

LATER_H = (6, 12, 24, 48)
LEAST_RACKS = 6  # demo: a charge worth a place in a run
MOST_CHARGES = 3  # rule 14
LAST_CLOSING = time(23)


@dataclass(frozen=True, slots=True)
class Change:
    """One change: the rule that it eases, words that end "It would fit if ...", and the week with it."""

    rule: int
    words: str
    asked: Asked


def changes(asked: Asked, rules: RuleBook, note: HarvestNote) -> Iterator[Change]:
    """Later latest starts, splitting, other dryers, an hour more, a station more, a hand more."""
    yield from _later(asked, note)
    if not rules.easier:
        yield from _split(asked, note)
    yield from _other_dryers(asked, note)
    yield from _an_hour_more(asked, note)
    yield from _a_station_more(asked, rules, note)
    if rules.hands:
        yield from _a_hand_more(asked, note)


def _later(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    last_closing = asked.kitchen.staffed_spans(asked.week.days)[-1:]
    if not last_closing or note.latest_start >= last_closing[0].end:
        return
    zone = asked.kitchen.zone
    for hours in LATER_H:
        later = note.latest_start + timedelta(hours=hours)
        words = f"its latest start were {moment(later, zone)} instead of {moment(note.latest_start, zone)}"
        yield Change(4, words, _with_note(asked, replace(note, latest_start=later)))


def _split(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """The note may be split, first into charges as large as its card asks for, then smaller ones."""
    card = asked.card(note.card_id)
    racks = _racks(asked, note)
    splits = note.may_split and racks >= card.split_from_racks
    third = ceil_div(racks, MOST_CHARGES)
    for least in sorted({card.least_racks, LEAST_RACKS, third}, reverse=True):
        if 2 * least > racks or (splits and least >= card.least_racks):
            continue
        own = replace(
            card,
            id=f"{card.id} for {note.id}",
            split_from_racks=Racks(1),
            least_racks=Racks(least),
            most_charges=max(card.most_charges, MOST_CHARGES),
        )
        changed = replace(asked, cards=(*asked.cards, own))
        words = f"it were split into up to {own.most_charges} charges of at least {count(least, 'rack')}"
        yield Change(14, words, _with_note(changed, replace(note, card_id=own.id, may_split=True)))


def _racks(asked: Asked, note: HarvestNote) -> int:
    """Racks that the whole lot fills, at the area of the first dryer that takes it (of the first, if none)."""
    card, dryers = asked.card(note.card_id), asked.kitchen.dryers
    area = next((each for each in dryers if _takes(each, card)), dryers[0]).rack_area_cm2
    prepared_g = trimmed_g(note.field_g, card.trim_loss_percent)
    return racks_needed(prepared_g, card.g_per_m2, rack_area_cm2=area)


def _takes(dryer: Dryer, card: ProcessCard) -> bool:
    return card.group in dryer.groups and _reaches(dryer, card)


def _reaches(dryer: Dryer, card: ProcessCard) -> bool:
    return (
        card.set_point_c - card.tolerance_c <= dryer.hottest_c
        and dryer.coolest_c <= card.set_point_c + card.tolerance_c
    )


def _other_dryers(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """A dryer that refuses the note's group or climate takes it."""
    kitchen, card = asked.kitchen, asked.card(note.card_id)
    for dryer in kitchen.dryers:
        if _takes(dryer, card):
            continue
        open_to_it = replace(
            dryer,
            groups=dryer.groups | {card.group},
            coolest_c=min(dryer.coolest_c, card.set_point_c),
            hottest_c=max(dryer.hottest_c, card.set_point_c),
        )
        lacks = []
        if card.group not in dryer.groups:
            lacks.append(f"took the group {kitchen.group(card.group).name}")
        if not _reaches(dryer, card):
            lacks.append(
                f"could be set to {temperature(card.set_point_c, kitchen.temperature_unit)}"
            )
        dryers = tuple(open_to_it if each is dryer else each for each in kitchen.dryers)
        yield _in_kitchen(
            asked, 6, f"{dryer.name} {listed(lacks)}", replace(kitchen, dryers=dryers)
        )


def _an_hour_more(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """The kitchen is staffed one hour longer in the evening of one day, by those who are there last."""
    kitchen = asked.kitchen
    for day in _days(asked, note):
        last = max(_on(day, kitchen.staffed), key=lambda each: each.closes)
        if last.closes == time(0) or last.closes > LAST_CLOSING:
            continue
        closing = (datetime.combine(day, last.closes) + timedelta(hours=1)).time()
        staffed = tuple(replace(h, closes=closing) if h is last else h for h in kitchen.staffed)
        stay = _last_there(kitchen.hands, day)
        hands = tuple(
            _until(hand, day, closing) if hand in stay else hand for hand in kitchen.hands
        )
        there = f", with {listed(hand.name for hand in stay)} there" if stay else ""
        words = f"the kitchen were staffed until {closing:%H:%M} on {day:%A}{there}"
        yield _in_kitchen(asked, 2, words, replace(kitchen, staffed=staffed, hands=hands))


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


def _last_there(hands: tuple[Hand, ...], day: date) -> list[Hand]:
    closings = {
        hand.name: max((h.closes for h in _on(day, hand.shifts)), default=time(0)) for hand in hands
    }
    latest = max(closings.values(), default=time(0))
    return [hand for hand in hands if closings[hand.name] == latest != time(0)]


def _until(hand: Hand, day: date, closing: time) -> Hand:
    last = max(_on(day, hand.shifts), key=lambda each: each.closes)
    return replace(
        hand, shifts=tuple(replace(h, closes=closing) if h is last else h for h in hand.shifts)
    )


def _a_station_more(asked: Asked, rules: RuleBook, note: HarvestNote) -> Iterator[Change]:
    """One more of each kind of station that the note would use."""
    kitchen, card = asked.kitchen, asked.card(note.card_id)
    if rules.tables:
        for rate in sorted({table.slicer_percent for table in kitchen.tables}, reverse=True):
            table = next(each for each in kitchen.tables if each.slicer_percent == rate)
            more = replace(kitchen, tables=(*kitchen.tables, replace(table, id=f"{table.id} more")))
            yield _in_kitchen(asked, 11, _one_more("table", table.name), more)
        for line in kitchen.wash_lines[:1]:
            lines = (*kitchen.wash_lines, replace(line, id=f"{line.id} more"))
            words = _one_more("wash line", line.name)
            yield _in_kitchen(asked, 11, words, replace(kitchen, wash_lines=lines))
    if rules.steamers and card.steam_s:
        for steamer in kitchen.steamers:
            steamers = (*kitchen.steamers, replace(steamer, id=f"{steamer.id} more"))
            words = _one_more("steamer", steamer.name)
            yield _in_kitchen(asked, 10, words, replace(kitchen, steamers=steamers))
    if rules.packing:
        for bench in kitchen.benches[:1]:
            benches = (*kitchen.benches, replace(bench, id=f"{bench.id} more"))
            words = _one_more("packing bench", bench.name)
            yield _in_kitchen(asked, 17, words, replace(kitchen, benches=benches))
    if rules.cold_store and not card.waits_outside_cold:
        yield _more_crates(asked, note)
    yield from _a_dryer_more(asked, card)


def _more_crates(asked: Asked, note: HarvestNote) -> Change:
    store = asked.kitchen.cold_store
    crates = ceil_div(note.field_g, store.crate_g)
    larger = replace(asked.kitchen, cold_store=replace(store, crates=store.crates + crates))
    return _in_kitchen(asked, 11, f"the cold store held {count(crates, 'crate')} more", larger)


def _a_dryer_more(asked: Asked, card: ProcessCard) -> Iterator[Change]:
    kitchen = asked.kitchen
    kinds = {
        replace(each, id="", name=""): each
        for each in reversed(kitchen.dryers)
        if _takes(each, card)
    }
    for dryer in sorted(kinds.values(), key=lambda each: each.racks * each.rack_area_cm2):
        dryers = (*kitchen.dryers, replace(dryer, id=f"{dryer.id} more"))
        words = _one_more("dryer", dryer.name)
        yield _in_kitchen(asked, 5, words, replace(kitchen, dryers=dryers))


def _a_hand_more(asked: Asked, note: HarvestNote) -> Iterator[Change]:
    """One more kitchen hand through the staffed hours of one day."""
    kitchen = asked.kitchen
    for day in _days(asked, note):
        shifts = tuple(_on(day, kitchen.staffed))
        hand = Hand("one more hand", "kitchen hand", shifts)
        hours = listed(f"{clock_of(each.opens)} to {clock_of(each.closes)}" for each in shifts)
        words = f"one more kitchen hand were on shift on {day:%A}, {hours}"
        yield _in_kitchen(asked, 12, words, replace(kitchen, hands=(*kitchen.hands, hand)))


def clock_of(at: time) -> str:
    return clock(datetime.combine(date.min, at))


def _one_more(kind: str, name: str) -> str:
    return f"there were one more {kind} like {name}"


def _in_kitchen(asked: Asked, rule: int, words: str, kitchen: Kitchen) -> Change:
    return Change(rule, words, replace(asked, kitchen=kitchen))


def _with_note(asked: Asked, note: HarvestNote) -> Asked:
    notes = tuple(note if each.id == note.id else each for each in asked.notes)
    return replace(asked, notes=notes)
