"""Names in a plan file that stand for nothing there: a dryer, note, card or grower nobody knows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol

from scheduler.domain.asked import Asked
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Charge, Plan
from scheduler.errors import InputFault

Named = Iterator[tuple[str, str, frozenset[str]]]  # path, name, the names that are known


def strangers(asked: Asked, file: str) -> list[InputFault]:
    """Faults for names under "asked" that nothing there bears."""
    return _faults(_in_asked(asked), file)


def plan_strangers(plan: Plan, asked: Asked, file: str) -> list[InputFault]:
    """Faults for names under "plan" that nothing under "asked" bears."""
    return _faults(_in_plan(plan, asked), file)


def _faults(named: Named, file: str) -> list[InputFault]:
    return [
        InputFault(file, None, path, f"nothing is called {name!r} here")
        for path, name, known in named
        if name not in known
    ]


class _WithId(Protocol):
    @property
    def id(self) -> str: ...


def _ids(*kinds: Iterable[_WithId]) -> frozenset[str]:
    return frozenset(each.id for kind in kinds for each in kind)


def _in_asked(asked: Asked) -> Named:
    kitchen = asked.kitchen
    groups, dryers, notes = _ids(kitchen.groups), _ids(kitchen.dryers), _ids(asked.notes)
    growers, cards = _ids(asked.growers), _ids(asked.cards)
    for at, card in enumerate(asked.cards):
        yield f"asked.cards[{at}].group", card.group, groups
    for at, note in enumerate(asked.notes):
        yield f"asked.notes[{at}].grower_id", note.grower_id, growers
        yield f"asked.notes[{at}].card_id", note.card_id, cards
    for at, run in enumerate(asked.happened.runs):
        yield f"asked.happened.runs[{at}].dryer_id", run.dryer_id, dryers
        for each, charge in enumerate(run.charges):
            yield f"asked.happened.runs[{at}].charges[{each}].note_id", charge.note_id, notes
    for at, outage in enumerate(asked.happened.outages):
        yield f"asked.happened.outages[{at}].station_id", outage.station_id, kitchen.station_ids

    for at, wish in enumerate(asked.wishes):
        if wish.dryer_id:
            yield f"asked.wishes[{at}].dryer_id", wish.dryer_id, dryers


def _in_plan(plan: Plan, asked: Asked) -> Named:
    kitchen, notes = asked.kitchen, _ids(asked.notes)
    people = _ids(asked.growers) | {hand.name for hand in kitchen.hands}
    for at, run in enumerate(plan.runs):
        yield f"plan.runs[{at}].dryer_id", run.dryer_id, _ids(kitchen.dryers)
        for each, charge in enumerate(run.charges):
            path = f"plan.runs[{at}].charges[{each}]"
            yield f"{path}.note_id", charge.note_id, notes
            yield from _in_charge(path, charge, kitchen)
    for at, duty in enumerate(plan.duties):
        yield f"plan.duties[{at}].who", duty.who, people
    for at, waiting in enumerate(plan.waiting):
        yield f"plan.waiting[{at}].note_id", waiting.note_id, notes
    for at, part in enumerate(plan.part_lots):
        yield from _in_part_lot(f"plan.part_lots[{at}]", part, asked)


def _in_part_lot(path: str, part: PartLot, asked: Asked) -> Named:
    kitchen = asked.kitchen
    dryers, hands = _ids(kitchen.dryers), frozenset(hand.name for hand in kitchen.hands)
    yield f"{path}.note_id", part.note_id, _ids(asked.notes)
    yield f"{path}.station_id", part.station_id, kitchen.station_ids
    if part.dries_on:
        yield f"{path}.dries_on.dryer_id", part.dries_on.dryer_id, dryers
    if part.held:
        yield f"{path}.held.station_id", part.held.station_id, kitchen.station_ids
    for at, who in enumerate(part.hands):
        yield f"{path}.hands[{at}]", who, hands | {each.name for each in kitchen.on_call}


def _in_charge(path: str, charge: Charge, kitchen: Kitchen) -> Named:
    work, after = charge.preparation, charge.after
    if work:
        path_in = f"{path}.preparation"
        yield f"{path_in}.wash_line_id", work.wash_line_id, _ids(kitchen.wash_lines)
        for at, place in enumerate(work.tables):
            yield f"{path_in}.tables[{at}].table_id", place.table_id, _ids(kitchen.tables)
        for at, load in enumerate(work.steam_loads):
            here = f"{path_in}.steam_loads[{at}]"
            yield f"{here}.steamer_id", load.steamer_id, _ids(kitchen.steamers)
            yield f"{here}.tub_id", load.tub_id, _ids(kitchen.chill_tubs)
    if after:
        yield f"{path}.after.bench_id", after.bench_id, _ids(kitchen.benches)
