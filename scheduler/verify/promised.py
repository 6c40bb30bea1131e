"""Rule 18: what is firm stays where it is or is named as moved, and nobody is promised twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.verify.duties import duties_in_force
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading

_Use = tuple[str, Span, str, Run, Charge | None]  # who or where, when, what for


def check(reading: Reading) -> Iterator[Fault]:
    """Each firm note that still asks for a place."""
    promised = reading.asked.promised
    if promised.plan is None or promised.plan.rules != reading.plan.rules:
        return
    named = {each.note_id for each in reading.plan.moved}
    for note in reading.asked.open_notes():
        if note.id not in promised.firm or note.id in named:
            continue
        before, after = _charges(promised.plan, note.id), _charges(reading.plan, note.id)
        if before != after:
            yield _fault(reading, note.id, "is not where it was promised, nor named as moved")
        elif _hands(promised.plan, note.id) != _hands(reading.plan, note.id):
            yield _fault(reading, note.id, "has other hands than were promised")


def as_promised(reading: Reading, run: Run, charge: Charge | None) -> bool:
    """Whether a charge stands where it was promised; a run: whether it starts and is unloaded as
    it was."""
    plan = reading.asked.promised.plan
    if plan is None:
        return False
    if charge is not None:
        return _charges(plan, charge.note_id) == _charges(reading.plan, charge.note_id)
    return any(
        (each.dryer_id, each.start, each.unload) == (run.dryer_id, run.start, run.unload)
        for each in plan.runs
    )


def _charges(plan: Plan, note_id: str) -> Sequence[object]:
    """Where its charges are; the order of racks in a run is free."""
    own = [(run, charge) for run, charge in plan.charges() if charge.note_id == note_id]
    own.sort(key=lambda each: (each[1].letter, each[0].start, each[0].dryer_id))
    return [
        (run.dryer_id, run.start, run.set_point_c, replace(charge, first_rack=1))
        for run, charge in own
    ]


def _hands(plan: Plan, note_id: str) -> Sequence[object]:
    codes = {charge.code for _, charge in plan.charges() if charge.note_id == note_id}
    return sorted(
        (duty.span, duty.who, duty.work, duty.station_id)
        for duty in plan.duties
        if duty.subject in codes
    )


def _fault(reading: Reading, note_id: str, what: str) -> Fault:
    charges = reading.plan.charges()
    own = [(charge.code, run.id) for run, charge in charges if charge.note_id == note_id]
    code, run_id = min(own, default=(None, None))
    return Fault(18, f"{note_id} is firm and {what}", run_id, code)


def check_taken(reading: Reading) -> Iterator[Fault]:
    """Hands, growers and stations that another plan has taken."""
    taken = reading.asked.promised.taken
    if not taken:
        return
    for who, span, what, run, charge in _uses(reading):
        for each in taken:
            if each.who == who and each.span.overlaps(span):
                message = (
                    f"{who} is planned for {what}, {reading.say.when(span)}, and promised to "
                    f"another plan ({each.work}), {reading.say.when(each.span)}"
                )
                yield Fault(18, message, run.id, charge.code if charge else None)


def _uses(reading: Reading) -> Iterator[_Use]:
    of_subject: dict[str, tuple[Run, Charge | None]] = {}
    for run in reading.plan.runs:
        of_subject[run.id] = (run, None)
        of_subject |= {charge.code: (run, charge) for charge in run.charges}
        ends = [run.released, *(span.end for span in (run.unload, run.wash_down) if span)]
        yield run.dryer_id, Span(run.start, max(ends)), "a run", run, None
    for duty in duties_in_force(reading) if reading.rules.hands else ():
        if duty.subject in of_subject:
            yield duty.who, duty.span, duty.work, *of_subject[duty.subject]
    for each in reading.placed:
        yield from _of_charge(reading, each.run, each.charge, each.grower.id)


def _of_charge(reading: Reading, run: Run, charge: Charge, grower_id: str) -> Iterator[_Use]:
    made, after = charge.preparation, charge.after
    if made:
        yield made.wash_line_id, made.wash, "washing", run, charge
        for place in made.tables:
            yield place.table_id, made.cut, "cutting", run, charge
        for load in made.steam_loads:
            yield load.steamer_id, Span(load.start, load.end), "steaming", run, charge
        for span in (made.wash, made.cut):
            yield grower_id, span, "bringing", run, charge
    if after and reading.rules.packing:
        yield after.bench_id, after.packing, "packing", run, charge
        yield grower_id, after.packing, "packing", run, charge
