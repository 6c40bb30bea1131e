"""Changing one thing in a frozen kitchen, note or plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span, WeeklyHours
from scheduler.domain.plan import AfterDryer, Charge, Duty, Plan, Preparation, Run
from tests.builders import at


def with_run(plan: Plan, run_id: str, **changes: Any) -> Plan:
    return _each_run(plan, lambda run: replace(run, **changes) if run.id == run_id else run)


def with_charge(plan: Plan, code: str, **changes: Any) -> Plan:
    return _each_charge(plan, code, lambda charge: replace(charge, **changes))


def with_preparation(plan: Plan, code: str, **changes: Any) -> Plan:
    def change(charge: Charge) -> Charge:
        assert isinstance(charge.preparation, Preparation)
        return replace(charge, preparation=replace(charge.preparation, **changes))

    return _each_charge(plan, code, change)


def with_after(plan: Plan, code: str, **changes: Any) -> Plan:
    def change(charge: Charge) -> Charge:
        assert isinstance(charge.after, AfterDryer)
        return replace(charge, after=replace(charge.after, **changes))

    return _each_charge(plan, code, change)


def with_load(plan: Plan, code: str, place: int, **changes: Any) -> Plan:
    """Change the steam load at that place (from 0) of a charge."""
    found = next(charge for _, charge in plan.charges() if charge.code == code)
    assert found.preparation
    loads = list(found.preparation.steam_loads)
    loads[place] = replace(loads[place], **changes)
    return with_preparation(plan, code, steam_loads=tuple(loads))


def with_duty(plan: Plan, work: str, subject: str, by: str | None = None, **changes: Any) -> Plan:
    """Change the duties of that work and subject (and person)."""

    def change(each: Duty) -> Duty:
        mine = (each.work, each.subject) == (work, subject) and by in (None, each.who)
        return replace(each, **changes) if mine else each

    return replace(plan, duties=tuple(change(each) for each in plan.duties))


def without_duty(plan: Plan, work: str, subject: str, by: str | None = None) -> Plan:
    kept = (
        each
        for each in plan.duties
        if (each.work, each.subject) != (work, subject) or by not in (None, each.who)
    )
    return replace(plan, duties=tuple(kept))


def and_duties(plan: Plan, *more: Duty) -> Plan:
    return replace(plan, duties=(*plan.duties, *more))


def with_kitchen(asked: Asked, **changes: Any) -> Asked:
    return replace(asked, kitchen=replace(asked.kitchen, **changes))


def with_limits(asked: Asked, **changes: Any) -> Asked:
    return with_kitchen(asked, limits=replace(asked.kitchen.limits, **changes))


def with_station(asked: Asked, kind: str, name: str, **changes: Any) -> Asked:
    """Change one of kitchen.dryers, .steamers, .tables, .groups ... by its id."""
    return with_kitchen(asked, **{kind: _changed(getattr(asked.kitchen, kind), name, changes)})


def without_station(asked: Asked, kind: str, name: str) -> Asked:
    kept = tuple(each for each in getattr(asked.kitchen, kind) if each.id != name)
    return with_kitchen(asked, **{kind: kept})


def with_shifts(asked: Asked, who: str, shifts: tuple[WeeklyHours, ...]) -> Asked:
    hands = asked.kitchen.hands
    changed = (replace(each, shifts=shifts) if each.name == who else each for each in hands)
    return with_kitchen(asked, hands=tuple(changed))


def with_card(asked: Asked, name: str, **changes: Any) -> Asked:
    return replace(asked, cards=_changed(asked.cards, name, changes))


def with_note(asked: Asked, name: str, **changes: Any) -> Asked:
    return replace(asked, notes=_changed(asked.notes, name, changes))


def with_grower(asked: Asked, name: str, **changes: Any) -> Asked:
    return replace(asked, growers=_changed(asked.growers, name, changes))


def _changed(things: tuple[Any, ...], name: str, changes: dict[str, Any]) -> tuple[Any, ...]:
    assert any(each.id == name for each in things), name
    return tuple(replace(each, **changes) if each.id == name else each for each in things)


def _each_run(plan: Plan, change: Callable[[Run], Run]) -> Plan:
    return replace(plan, runs=tuple(change(run) for run in plan.runs))


def _each_charge(plan: Plan, code: str, change: Callable[[Charge], Charge]) -> Plan:
    assert any(charge.code == code for _, charge in plan.charges()), code
    return _each_run(
        plan,
        lambda run: replace(
            run,
            charges=tuple(change(each) if each.code == code else each for each in run.charges),
        ),
    )


def unloaded(plan: Plan, run_id: str, when: Span) -> Plan:
    """Move an unloading with its duty."""
    return with_duty(with_run(plan, run_id, unload=when), "unload", run_id, span=when)


def washed_down(plan: Plan, run_id: str, when: Span, **others: Any) -> Plan:
    """Move a wash-down with its duty."""
    return with_duty(
        with_run(plan, run_id, wash_down=when), "wash-down", run_id, span=when, **others
    )


def dry_checked(plan: Plan, code: str, when: Span) -> Plan:
    """Move a dry check with its duty."""
    return with_duty(with_after(plan, code, dry_check=when), "dry check", code, span=when)


def renamed(plan: Plan, code: str, letter: str) -> Plan:
    """Give a charge another letter, in its duties too."""
    new = f"{code.split(maxsplit=1)[0]} {letter}"
    duties = tuple(
        replace(each, subject=new) if each.subject == code else each for each in plan.duties
    )
    return replace(with_charge(plan, code, letter=letter), duties=duties)


def pepper_at(plan: Plan, cut: Span, *, start: str, end: str, unload: Span) -> Plan:
    """The pepper lot cut, dried and unloaded at another time; released at its unloading."""
    wash = Span(cut.start - timedelta(minutes=15), cut.start)
    filled = cut.end + timedelta(minutes=10)
    plan = with_preparation(plan, "N6", wash=wash, cut=cut, last_rack=filled)
    plan = with_run(plan, "D2 Fri", start=at(start), end=at(end), released=unload.start)
    return unloaded(plan, "D2 Fri", unload)
