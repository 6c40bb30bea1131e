"""Whether the tables of kitchen.toml agree with each other, and the cards with them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from scheduler.domain.clock import weekly_spans
from scheduler.errors import InputFault
from scheduler.scenario.hours import overlapping
from scheduler.scenario.kitchen_file import FILE
from scheduler.scenario.kitchen_rows import DryerRow, KitchenFile
from scheduler.scenario.rows import CardRow
from scheduler.scenario.tables import Numbered


def _fault(field: str, message: str) -> InputFault:
    return InputFault(FILE, None, field, message)


def kitchen_faults(file: KitchenFile) -> Iterator[InputFault]:
    """What contradicts itself in a checked kitchen.toml."""
    yield from _twice(file)
    yield from _unknown_groups(file)
    yield from _hours(file)
    if file.kitchen.goals[0] != "worth":
        yield _fault(
            "kitchen.goals", 'put "worth" first: an empty plan would be best at the others'
        )
    for dryer in file.dryers:
        if dryer.coolest_c > dryer.hottest_c:
            yield _fault(f"dryers[{dryer.id}]", "its lowest set point is above its highest")
        if dryer.unload_s > dryer.turn_round_s:
            yield _fault(f"dryers[{dryer.id}]", "unloading takes longer than the turn-round")


def _twice(file: KitchenFile) -> Iterator[InputFault]:
    stations = Counter(station_id for _, station_id in file.stations())
    for kind, station_id in dict.fromkeys(file.stations()):
        if stations[station_id] > 1:
            yield _fault(f"{kind}[{station_id}]", "another station has the same id")
    for kind, names in (
        ("groups", [each.id for each in file.groups]),
        ("hands", [each.name for each in file.hands]),
        ("kitchen.goals", list(file.kitchen.goals)),
    ):
        for name, times in Counter(names).items():
            if times > 1:
                yield _fault(f"{kind}[{name}]", f"stands here {times} times")


def _unknown_groups(file: KitchenFile) -> Iterator[InputFault]:
    known = {group.id for group in file.groups}
    named = [(f"groups[{each.id}].wash_down_before", each.wash_down_before) for each in file.groups]
    named += [(f"dryers[{each.id}].groups", each.groups) for each in file.dryers]
    for field, groups in named:
        for group in groups:
            if group not in known:
                yield _fault(field, f"no such group: {group!r}")


def _hours(file: KitchenFile) -> Iterator[InputFault]:
    kitchen = file.kitchen
    shifts = [(f"hands[{each.name}].shifts", each.shifts) for each in file.hands]
    for field, hours in [("kitchen.staffed", kitchen.staffed), *shifts]:
        if overlapping(hours):
            yield _fault(field, "two stretches of the same day overlap")
    week = file.scenario.week
    open_days = [day for day in week.days if day not in kitchen.closures]
    if not weekly_spans(kitchen.staffed, open_days, kitchen.zone):
        yield _fault("kitchen.staffed", f"no staffed hours in the week {week}")


def card_faults(file: KitchenFile, cards: Iterable[Numbered[CardRow]]) -> Iterator[InputFault]:
    """Cards that contradict themselves, or that this kitchen cannot follow."""
    known = {group.id for group in file.groups}
    for numbered in cards:
        card = numbered.row
        if card.water_out_percent >= card.water_in_percent:
            yield numbered.fault("water_out_percent", "must be less than water_in_percent")
        if card.rest_s >= card.pack_within_s:
            yield numbered.fault("rest_s", "the rest is not over before it must be packed")
        if card.steam_s and not file.steamers:
            yield numbered.fault("steam_s", "is steamed, but the kitchen has no steamer")
        if card.group not in known:
            yield numbered.fault("group", f"no such group in {FILE}: {card.group!r}")
        elif not any(takes(dryer, card) for dryer in file.dryers):
            message = f"no dryer takes {card.group} at {card.set_point_c:g} °C"
            yield numbered.fault("set_point_c", message)


def takes(dryer: DryerRow, card: CardRow) -> bool:
    """Whether the dryer takes the card's group and reaches its set point, within its tolerance."""
    in_reach = (
        dryer.coolest_c <= card.set_point_c + card.tolerance_c
        and card.set_point_c - card.tolerance_c <= dryer.hottest_c
    )
    return card.group in dryer.groups and in_reach
