"""The week of a mend as integers: what stays, what is free, and where its turns have been."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime

from scheduler import prepare
from scheduler.domain.asked import Asked
from scheduler.domain.mend import MovedKind
from scheduler.domain.plan import Moved, Plan
from scheduler.domain.rules import FULL, SIMPLE
from scheduler.emergency.notice import SHORT_H, notice_h
from scheduler.errors import StalePlan
from scheduler.expand import Back
from scheduler.home import Home, Turn
from scheduler.keeping import holding
from scheduler.problem import Draft, Problem
from scheduler.re_lay.moves import FIRST, LATER, Turns, Weighing, turns_in
from scheduler.units import Grams

SHORT_NOTICE_G = 1_000_000  # of a short-notice turn: more than any worth, so that the fewest move
BEGUN = "Work on it has begun; a person decides what becomes of it."


@dataclass(frozen=True)
class Week:
    """asked: the plan in hand, part-lots included. turns: as planned, of a charge's days before the
    dryer the first. prepared: as asked; problem: the same without lots begun that cannot go on.

    whole: what can stay of all that is planned; going: what is under way and can stay. lost: why
    others cannot.
    """

    asked: Asked
    now: datetime
    weighing: Weighing
    prepared: Problem
    problem: Problem
    turns: Turns
    whole: Problem
    going: Problem
    lost: dict[str, Moved]
    home: Home = field(default_factory=Home)

    @property
    def plan(self) -> Plan:
        assert self.asked.promised.plan
        return self.asked.promised.plan

    @property
    def index(self) -> dict[str, int]:
        return {lot.note_id: lot.index for lot in self.problem.lots}

    def held(self, problem: Problem, floor: int) -> Problem:
        """That problem with the week's home and a worth that must not be fallen below."""
        return replace(problem, home=replace(self.home, floor=floor))

    def unchanged(self, draft: Draft) -> list[str]:
        """Notes of which every charge in a draft is where the plan in hand has it."""
        back, names = _Drafted(self.prepared, self.plan), dict[int, list[tuple[object, ...]]]()
        for run in draft.runs:
            for charge in run.charges:
                names.setdefault(charge.lot, []).append((run.key, charge))
        return [
            self.problem.lots[lot].note_id
            for lot, charges in names.items()
            if sorted(charges, key=repr) == sorted(back.of(lot), key=repr)
        ]

    def short_notice(self, note_id: str, start: datetime) -> bool:
        """A firm turn to come, of less notice than stays if any mend leaves it."""
        firm = note_id in self.asked.promised.firm
        return firm and start >= self.now and notice_h(self.now, start) < SHORT_H

    def short_of(self, note_id: str) -> list[datetime]:
        """The short-notice bringing turns of a note."""
        brings = self.turns.get((note_id, "bringing"), [])
        return [each.start for each in brings if self.short_notice(note_id, each.start)]


class _Drafted:
    """The charges of the plan in hand as the problem's, by lot; none where they are no longer."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.charges: dict[int, list[tuple[object, ...]]] = {}
        back, names = Back(problem, plan), {lot.note_id for lot in problem.lots}
        for run in plan.runs:
            for charge in run.charges:
                if charge.note_id in names:
                    with suppress(StalePlan):
                        key = back.run(replace(run, charges=())).key
                        made = back.charge(charge)
                        self.charges.setdefault(made.lot, []).append((key, made))

    def of(self, lot: int) -> list[tuple[object, ...]]:
        return self.charges.get(lot, [])


def week_of(
    asked: Asked, now: datetime, moved_before: Collection[str], *, like: Week | None = None
) -> Week:
    """The plan in hand made ready to be mended; asked as asked_in_hand gives it.

    like: the same but for its part-lots, which saves preparing it again.
    """
    plan = asked.promised.plan
    assert plan
    if like is None:
        problem = prepare.problem(asked, SIMPLE if plan.rules == SIMPLE.name else FULL)
    else:
        problem = prepare.with_part_lots(like.prepared, asked)
    prepared = problem
    weighing = Weighing(asked, now, moved_before)
    turns = turns_in(asked, plan, FIRST)
    begun, ranked = _ranked(asked, turns, now)
    whole, lost = holding(asked, problem, [*begun, *ranked])
    stuck = {each for each in begun if each in lost}
    problem, whole = _without(problem, stuck), _without(whole, stuck)
    going, _ = holding(asked, problem, [each for each in begun if each not in stuck])
    lost = {each: _told(asked, plan, lost[each]) for each in lost}
    lost |= {each: replace(lost[each], reason=f"{lost[each].reason} {BEGUN}") for each in stuck}
    week = Week(asked, now, weighing, prepared, problem, turns, whole, going, lost)
    return replace(week, home=_home(week))


def _told(asked: Asked, plan: Plan, moved: Moved) -> Moved:
    """A dryer that is down is told before whatever else is in the way."""
    for run, charge in plan.charges():
        for stop in asked.happened.outages if charge.note_id == moved.note_id else ():
            until = stop.back is None or run.start < stop.back
            if stop.station_id == run.dryer_id and until and run.released > stop.stopped:
                zone = asked.kitchen.zone
                back = f"until {stop.back.astimezone(zone):%a %d %b %H:%M}" if stop.back else ""
                told = f"{run.dryer_id} is down {back or 'for now'}."
                return Moved(moved.note_id, 11, told)
    return moved


def _ranked(asked: Asked, turns: Turns, now: datetime) -> tuple[list[str], list[str]]:
    """Notes whose work has begun; then firm ones, then pencilled ones, least notice first."""
    first = {note_id: min(spans).start for (note_id, kind), spans in turns.items() if spans}
    for (note_id, kind), spans in turns.items():
        if kind == "bringing":
            first[note_id] = min(spans).start
    firm = asked.promised.firm
    begun = sorted(each for each in first if first[each] < now)
    rest = [each for each in first if first[each] >= now]
    return begun, sorted(rest, key=lambda each: (each not in firm, first[each], each))


def _without(problem: Problem, notes: Iterable[str]) -> Problem:
    """Nothing more is planned for those notes."""
    gone = set(notes)
    lots = (replace(e, sizes={}) if e.note_id in gone else e for e in problem.lots)
    return replace(problem, lots=tuple(lots))


def _home(week: Week) -> Home:
    later = turns_in(week.asked, week.plan, LATER)
    return Home(
        bringing=_turns(week, week.turns, "bringing"),
        packing=_turns(week, week.turns, "packing"),
        returning=_turns(week, later, "bringing"),
    )


def _turns(week: Week, turns: Turns, kind: MovedKind) -> dict[int, list[Turn]]:
    """By lot, with what moving them weighs."""
    problem, found = week.problem, dict[int, list[Turn]]()
    for (note_id, its_kind), spans in turns.items():
        lot = week.index.get(note_id)
        if lot is None or its_kind != kind:
            continue
        for span in spans:
            short = kind == "bringing" and week.short_notice(note_id, span.start)
            weight = week.weighing.of(note_id, span.start)
            turn = Turn(problem.tick(span.start), weight, SHORT_NOTICE_G * short)
            found.setdefault(lot, []).append(turn)
    return found


def worth_by_note(asked: Asked, plan: Plan) -> dict[str, Grams]:
    """Prepared grams with a place, of notes that still ask."""
    found = {note.id: Grams(0) for note in asked.open_notes()}
    for _, charge in plan.charges():
        if charge.note_id in found:
            found[charge.note_id] = Grams(found[charge.note_id] + charge.prepared_g)
    return found
