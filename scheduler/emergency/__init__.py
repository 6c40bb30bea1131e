"""A dryer stops with charges inside: part-lots, their clocks, where they may go, whom to ring.

Nothing here loads the solver, and nothing is decided: at the limit a named person is asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.mend import Call, Decision, Emergency
from scheduler.domain.part_lot import PartLot
from scheduler.domain.plan import Plan
from scheduler.emergency.hands import hands_after, tonight
from scheduler.emergency.in_hand import asked_in_hand, beside, stopped_charges, with_parts
from scheduler.emergency.logged import AsLogged, Logged, as_it_went, is_of, otherwise
from scheduler.emergency.proposal import Proposal, ways
from scheduler.emergency.slots import HOUR_G, House
from scheduler.emergency.stopped import Stopped
from scheduler.exposure_clock import part_clock
from scheduler.process.exposure import MOST_EXPOSED
from scheduler.units import HOUR, Seconds
from scheduler.wording import duration

__all__ = [
    "COLDEST_C",
    "HOTTEST_C",
    "Logged",
    "as_logged",
    "asked_in_hand",
    "emergency",
    "found_warm",
    "proposals",
    "stopped_stations",
    "waits_g",
    "with_parts",
]

COLDEST_C, HOTTEST_C = 5, 57  # rule 19: the clock runs between them
MOST_PROPOSALS = 4


def emergency(asked: Asked, plan: Plan | None, station_id: str, at: datetime) -> Emergency:
    """What is inside a stopped dryer and what is proposed for it (rules 19 and 20).

    asked: with runs on record and the outage; plan: the posted one, if any. Source: rules 3, 5, 6,
    8, 11, 19 and 20; hours left from the card, moisture from process.drying.
    """
    told = _in_hand(asked, plan, at)
    charges = stopped_charges(told, plan, station_id)
    parts = next(proposals(told, plan, station_id, at), ())
    stopped = min((each.at for each in charges), default=at)
    house = House(told, beside(plan, charges), hands_after(told, stopped, at), at)
    return Emergency(
        dryer_id=station_id,
        stopped=stopped,
        at=at,
        part_lots=parts,
        ways={each.code: tuple(ways(house, each)) for each in charges},
        calls=tuple(_calls(told, charges, by_night=_by_night(house, parts))),
        decisions=tuple(_decisions(told, parts, charges, at)),
    )


def proposals(
    asked: Asked, plan: Plan | None, station_id: str, at: datetime
) -> Iterator[tuple[PartLot, ...]]:
    """The proposal, then others that differ in the run of what has to wait."""
    told = _in_hand(asked, plan, at)
    charges = stopped_charges(told, plan, station_id)
    if not charges:
        return
    stopped = min(each.at for each in charges)
    house = House(told, beside(plan, charges), hands_after(told, stopped, at), at)
    seen = set()
    for instead in range(MOST_PROPOSALS):
        parts = Proposal(house, instead).of(charges)
        if parts not in seen:
            seen.add(parts)
            yield parts


def as_logged(
    asked: Asked, plan: Plan | None, station_id: str, at: datetime, logged: Iterable[Logged]
) -> tuple[PartLot, ...]:
    """Part-lots of the charges that the night log tells of: what is cold or drying stays, and what
    is warm has its way proposed from now on; over the limit it has none, nor where it is discarded.
    With one of them all of its note and stop. Of those that the plan has already, the ones that
    the log has otherwise by now."""
    known = list(logged)
    told = _in_hand(asked, plan, at)
    open_ones = stopped_charges(told, plan, station_id)
    moved = [each for each in known if each.since or each.discarded]
    begun = {(w.note.id, w.at) for w in open_ones if any(is_of(each, w) for each in moved)}
    charges = [what for what in open_ones if (what.note.id, what.at) in begun]
    parts = plan.part_lots if plan else ()
    went = tuple(as_it_went(told, parts, station_id, known))
    charges += otherwise(told, parts, station_id, known)
    if not charges:
        return went
    first = min((each.since for each in known if each.since), default=at)
    base = {each.code: each for each in next(proposals(asked, plan, station_id, first), ())}
    so_far = with_parts(plan, went) if plan else None
    house = House(told, beside(so_far, charges), hands_after(told, charges[0].at, at), at)
    return (*went, *AsLogged(house, base).of(charges, known))


def stopped_stations(asked: Asked, plan: Plan | None, at: datetime) -> list[str]:
    """What has stopped under racks that have no way since, the first first."""
    told = _in_hand(asked, plan, at)
    stops = sorted(told.happened.outages, key=lambda each: (each.stopped, each.station_id))
    names = dict.fromkeys(each.station_id for each in stops)
    return [each for each in names if stopped_charges(told, plan, each)]


def waits_g(parts: Iterable[PartLot]) -> int:
    """Grams of worth that the waiting of part-lots counts until they dry on."""
    runs = [(each.dries_on.start - each.stopped) for each in parts if each.dries_on]
    return round(sum(HOUR_G * each.total_seconds() / HOUR for each in runs))


def found_warm(
    asked: Asked, part: PartLot, at: datetime, *, celsius: float
) -> tuple[PartLot, Decision | None]:
    """A part-lot that was thought cold and is found between 5 and 57 C.

    Nobody knows since when: its clock counts from the stop as if it had never been cold. From four
    hours on the manager is asked; nothing is decided here. It waits for its way either way.
    """
    if not COLDEST_C < celsius < HOTTEST_C:
        return part, None
    warm = replace(part, held=None, dries_on=None)
    over = part_clock(warm, at).exposed_s >= MOST_EXPOSED
    return warm, _decision(asked, warm, at) if over else None


def _in_hand(asked: Asked, plan: Plan | None, at: datetime) -> Asked:
    if plan is not None:
        return asked_in_hand(asked, plan, at)
    return replace(asked, happened=replace(asked.happened, now=at))


def _by_night(house: House, parts: tuple[PartLot, ...]) -> bool:
    """Whether people on call have to come."""
    to_come = (each for each in parts if each.in_control and each.in_control >= house.now)
    return house.hands.on_call or any(each.hands for each in to_come)


def _calls(asked: Asked, charges: tuple[Stopped, ...], *, by_night: bool) -> Iterator[Call]:
    """Those on call if it is night, the manager, then whose lots are inside, least time first."""
    kitchen, notes = asked.kitchen, tuple(each.note.id for each in charges)
    numbers = {each.name: each.telephone for each in kitchen.on_call}
    rung = []
    if by_night and charges:
        for person in tonight(kitchen, charges[0].at):
            rung.append(person.name)
            yield Call(person.name, person.telephone, "on call: racks have to be moved", notes)
    for hand in kitchen.hands if charges else ():
        if hand.role == "manager" and hand.name not in rung:
            yield Call(hand.name, numbers.get(hand.name, ""), "manager, on the telephone", notes)
    owners: dict[str, list[str]] = {}
    for each in sorted(charges, key=lambda each: each.limit):
        owners.setdefault(each.note.grower_id, []).append(each.note.id)
    for grower_id, own in owners.items():
        yield Call(grower_id, "", "own lot in the stopped dryer", tuple(own))


def _decisions(
    asked: Asked, parts: tuple[PartLot, ...], charges: tuple[Stopped, ...], at: datetime
) -> Iterator[Decision]:
    """What was in the cold until it came out does not count as warm."""
    out = {each.was.key: each.was for each in charges if each.was and each.out}
    for each in parts:
        if each.in_control is None:
            yield _decision(asked, replace(out.get(each.key, each), dries_on=None), at)


def _decision(asked: Asked, part: PartLot, at: datetime) -> Decision:
    exposed = part_clock(part, at).exposed_s
    managers = [each.name for each in asked.kitchen.hands if each.role == "manager"]
    over = exposed - MOST_EXPOSED
    told = f"{duration(over)} over the house limit" if over >= 0 else "no place in time"
    question = (
        f"{part.code} has stood warm for {duration(exposed)}: {told} of {duration(MOST_EXPOSED)}. "
        "What becomes of it?"
    )
    return Decision(part.code, managers[0] if managers else "", Seconds(exposed), at, question)
