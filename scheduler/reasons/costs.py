"""The rule that costs a note its place, found by leaving rules out one at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from scheduler.domain.harvest import HarvestNote
from scheduler.domain.rules import SWITCHES
from scheduler.problem import Lot
from scheduler.reasons.by_hand import by_hand, fits_alone
from scheduler.reasons.sentences import RULE_OF, between, moment, ruled, switched, until
from scheduler.reasons.trials import Trial, Trials
from scheduler.units import GRID
from scheduler.whiteboard.masks import block
from scheduler.wording import count, duration, listed, temperature


@dataclass(frozen=True, slots=True)
class Cost:
    """The rule that costs a note its place, and the sentence that says how."""

    rule: int
    reason: str


def cost(trials: Trials, note: HarvestNote, random: Random, *, eased: int | None) -> Cost:
    """What stands in the way. eased: the rule that the remedy eases, where there is one."""
    trial = trials.changed(trials.asked, note.id)
    for its in (_no_dryer, _too_large, _closed):
        found = its(trials, trial)
        if found is not None:
            return found
    switches = _switches(trials, note, random)
    if switches:
        return Cost(RULE_OF[switches[0]], switched(trials.asked, note, switches))
    return _never(trials, trial, note, random) or _full(trials, note, eased)


def _switches(trials: Trials, note: HarvestNote, random: Random) -> tuple[str, ...]:
    """The first rule that lets the note in when left out; else the few that do so together."""
    on = tuple(switch for switch in SWITCHES if getattr(trials.rules, switch))
    if not _lets_in(trials, note, on, random):
        return ()
    for switch in on:
        if _lets_in(trials, note, (switch,), random):
            return (switch,)
    needed = on
    for switch in reversed(on):
        fewer = tuple(each for each in needed if each != switch)
        if _lets_in(trials, note, fewer, random):
            needed = fewer
    return needed


def _lets_in(trials: Trials, note: HarvestNote, off: tuple[str, ...], random: Random) -> bool:
    if not off:
        return False
    switches: dict[str, Any] = dict.fromkeys(off, False)
    rules = replace(trials.rules, **switches)
    return by_hand(trials.relaxed(rules, note.id), random) is not None


def _no_dryer(trials: Trials, trial: Trial) -> Cost | None:
    if trial.lot.dryers:
        return None
    kitchen = trials.asked.kitchen
    card = trials.asked.card(trials.asked.note(trial.lot.note_id).card_id)
    group = kitchen.group(card.group).name
    at = temperature(card.set_point_c, kitchen.temperature_unit)
    return Cost(6, ruled(f"No dryer takes the group {group} at {at}", 6))


def _too_large(trials: Trials, trial: Trial) -> Cost | None:
    """Charges of the largest dryer do not hold the lot, however often it may be split."""
    lot = trial.lot
    largest = max(trial.problem.dryers[index].racks for index in lot.dryers)
    if lot.parts or lot.racks <= lot.most_charges * largest:
        return None
    charges = "one charge" if lot.most_charges == 1 else f"{lot.most_charges} charges"
    sentence = (
        f"It fills {count(lot.racks, 'rack')}, may be dried in {charges}, "
        f"and the largest dryer that takes it has {count(largest, 'rack')}"
    )
    return Cost(14, ruled(sentence, 14))


def _closed(trials: Trials, trial: Trial) -> Cost | None:
    """Nobody is there between its arrival and its latest start."""
    lot, asked = trial.lot, trials.asked
    days = [day for day in trial.problem.days if day.plans]
    there = any(max(day.open, lot.arrives) < min(day.close, lot.latest) for day in days)
    if there or lot.where:
        return None
    note = asked.note(lot.note_id)
    if days and days[-1].close <= lot.arrives:
        arrives = moment(note.arrives, asked.kitchen.zone)
        return Cost(2, ruled(f"No staffed hours of the week are left after {arrives}", 2))
    return Cost(2, ruled(f"The kitchen is not staffed {between(asked, note)}", 2))


def _never(trials: Trials, trial: Trial, note: HarvestNote, random: Random) -> Cost | None:
    """Not even an empty kitchen has a place for it."""
    if fits_alone(trial, random):
        return None
    lot, when = trial.lot, between(trials.asked, note)
    window = block(lot.arrives, lot.latest + 1 - lot.arrives)
    if not any(mask & window for mask in _legal_starts(trial, lot)):
        dries = duration(lot.drying * GRID)
        sentence = f"No run of {dries} that starts {when}, ends at a time when it can be taken out"
        return Cost(3, ruled(sentence, 3))
    return Cost(4, ruled(f"Even in an empty kitchen it cannot be ready for a run {when}", 4))


def _legal_starts(trial: Trial, lot: Lot) -> Iterator[int]:
    for index in lot.dryers:
        legal = trial.ruin.calendars.legal_starts(trial.problem.dryers[index], lot.drying)
        yield legal & lot.starts_on(index)


def _full(trials: Trials, note: HarvestNote, eased: int | None) -> Cost:
    """No run has room for it: told by what the remedy eases."""
    asked, last = trials.asked, until(trials.asked, note)
    lot = trials.changed(asked, note.id).lot
    names = listed(asked.kitchen.dryers[index].name for index in lot.dryers)
    full = f"No dryer that takes it ({names}) has enough racks free for long enough until {last}"
    told = {
        2: f"No more run of it is started and taken out within staffed hours until {last}",
        4: full,
        14: f"No run has room for it in one piece {between(asked, note)}",
    }
    rule = eased if eased in told else 5
    return Cost(rule, ruled(told.get(rule, full), rule))
