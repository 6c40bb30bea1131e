"""What a wish would come to, told beforehand by hand, without the solver: kept beside what is
planned, at others' cost, or against a rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from random import Random
from typing import Literal

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan, Run
from scheduler.domain.rules import FULL
from scheduler.domain.wish import Wish
from scheduler.errors import StalePlan
from scheduler.expand import Back
from scheduler.problem import Draft, DraftCharge, DraftRun, Problem
from scheduler.reasons.by_hand import by_hand, fits_alone
from scheduler.reasons.changes import takes
from scheduler.reasons.costs import cost
from scheduler.reasons.sentences import moment, ruled
from scheduler.reasons.trials import Trials
from scheduler.wording import listed, temperature

Verdict = Literal["fits", "moves others", "breaks a rule"]
FIRM = "{} is firm and stays where it is, unless the lay-out may move firm turns"


@dataclass(frozen=True, slots=True)
class Judged:
    """A finding by hand; the lay-out may still find better. rule: the one in the way, if any."""

    verdict: Verdict
    sentence: str
    rule: int | None = None


def judged(asked: Asked, plan: Plan | None, wish: Wish) -> Judged:
    """asked: the week as it is now, with its other wishes; plan: the one laid out last, if any."""
    if wish.kind == "leave free":
        return _left_free(asked, plan, wish)
    asked = replace(asked, wishes=(*asked.wishes, wish))
    return _refused(asked, wish) or _firm(asked, wish) or _placed(asked, plan, wish)


def _left_free(asked: Asked, plan: Plan | None, wish: Wish) -> Judged:
    started = [run for run in asked.happened.runs if wish.dryer_id in ("", run.dryer_id)]
    if any(_meets(run.start, run.end, wish.span) for run in started):
        return _against(18, "A run that has started is in it then")
    firm = set(_firm_codes(asked, wish))
    if firm:
        return _against(18, FIRM.format(listed(sorted(firm))))
    runs = [run for run in plan.runs if _takes(run, wish)] if plan else []
    if runs:
        codes = listed(charge.code for run in runs for charge in run.charges)
        return Judged("moves others", f"{codes} would have to go elsewhere, or wait.")
    return Judged("fits", "No run is planned on it then.")


def _firm_codes(asked: Asked, wish: Wish) -> Iterator[str]:
    """Of what the posted plan, not the one laid out last, has on that dryer then."""
    promised = asked.promised
    for run, charge in promised.plan.charges() if promised.plan else ():
        if charge.note_id in promised.firm and _takes(run, wish):
            yield charge.code


def _takes(run: Run, wish: Wish) -> bool:
    ends = [run.released, *(span.end for span in (run.unload, run.wash_down) if span)]
    return wish.dryer_id in ("", run.dryer_id) and _meets(run.start, max(ends), wish.span)


def _meets(start: datetime, end: datetime, span: Span | None) -> bool:
    return span is None or Span(start, end).overlaps(span)


def _refused(asked: Asked, wish: Wish) -> Judged | None:
    """What a place is pinned against whatever else is planned."""
    if wish.kind != "pin":
        return None
    note, kitchen = asked.note(wish.note_id), asked.kitchen
    card, zone = asked.card(note.card_id), kitchen.zone
    if wish.dryer_id and not takes(kitchen.dryer(wish.dryer_id), card):
        at = temperature(card.set_point_c, kitchen.temperature_unit)
        group = kitchen.group(card.group).name
        name = kitchen.dryer(wish.dryer_id).name
        return _against(6, f"{name} does not take the group {group} at {at}")
    if wish.span is None:
        return None
    if wish.span.start > note.latest_start:
        return _against(4, f"Its latest start is {moment(note.latest_start, zone)}")
    if wish.span.end <= note.arrives:
        return _against(4, f"It arrives {moment(note.arrives, zone)}")
    if not any(_may_start(staffed, wish.span) for staffed in asked.staffed()):
        return _against(2, "The kitchen is not staffed then")
    return None


def _may_start(staffed: Span, span: Span) -> bool:
    """A start at closing time is allowed."""
    return staffed.start < span.end and span.start <= staffed.end


def _firm(asked: Asked, wish: Wish) -> Judged | None:
    """What is firm in the posted plan, or has started, elsewhere."""
    if wish.note_id not in {note.id for note in asked.open_notes()}:
        return _against(18, f"{wish.note_id} is in a run that has started")
    posted = asked.promised.plan
    if wish.note_id not in asked.promised.firm or posted is None:
        return None
    pins = [each for each in asked.wishes_for(wish.note_id) if each.kind == "pin"]
    for run, charge in posted.charges():
        if charge.note_id != wish.note_id:
            continue
        meant = any(each.meets(run.dryer_id, run.start) for each in (pins or [wish]))
        if meant == (wish.kind == "forbid"):
            return _against(18, FIRM.format(charge.code))
    return Judged("fits", f"{wish.note_id} is firm, and stands so already.")


def _placed(asked: Asked, plan: Plan | None, wish: Wish) -> Judged:
    """Beside what is planned; else with others moved; else the rule in the way."""
    note, random = asked.note(wish.note_id), Random(wish.note_id)
    problem = prepare.problem(asked, FULL, sizes=_sizes(asked, plan, wish.note_id))
    draft = _others(problem, plan, wish.note_id) if plan else Draft()
    trials = Trials(asked, FULL, draft, problem, chances=0)
    trial = trials.changed(asked, note.id)
    if trial.lot.dryers and by_hand(trial, random) is not None:
        return Judged("fits", "There is a place for all of it so, beside all else that is planned.")
    found = cost(trials, note, random, eased=None)
    if trial.lot.dryers and fits_alone(trial, random):
        told = f"Others would have to move, or it waits. {found.reason}"
        return Judged("moves others", told, found.rule)
    return Judged("breaks a rule", found.reason, found.rule)


def _sizes(asked: Asked, plan: Plan | None, note_id: str) -> dict[str, frozenset[int]]:
    """Charge sizes of all notes but this one: those in use."""
    sizes = {note.id: frozenset[int]() for note in asked.notes if note.id != note_id}
    for _, charge in plan.charges() if plan else ():
        if charge.note_id in sizes:
            sizes[charge.note_id] |= {charge.racks}
    return sizes


def _others(problem: Problem, plan: Plan, note_id: str) -> Draft:
    """The plan's draft without that note, and without what no longer fits the week."""
    back = Back(problem, plan)
    runs = (_run(back, run, note_id) for run in plan.runs)
    kept = (run for run in runs if run is not None and run.charges)
    return Draft(tuple(sorted(kept, key=lambda run: run.key)))


def _run(back: Back, run: Run, note_id: str) -> DraftRun | None:
    try:
        made = back.run(replace(run, charges=()))
    except StalePlan:
        return None
    return replace(made, charges=tuple(_charges(back, run, note_id)))


def _charges(back: Back, run: Run, note_id: str) -> Iterator[DraftCharge]:
    for charge in run.charges:
        if charge.note_id != note_id:
            try:
                yield back.charge(charge)
            except StalePlan:
                continue


def _against(rule: int, sentence: str) -> Judged:
    return Judged("breaks a rule", ruled(sentence, rule), rule)
