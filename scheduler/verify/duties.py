"""Rule 12: duties themselves. Who may take one, within whose shift, and never two at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from scheduler.domain.plan import Duty
from scheduler.verify.fault import Fault
from scheduler.verify.hours import Hours
from scheduler.verify.reading import Prepared, Reading


def duties_in_force(reading: Reading) -> tuple[Duty, ...]:
    """The duties that the rule book asks for: others are not read."""
    ignored = set()
    if not reading.rules.wash_downs:
        ignored.add("wash-down")
    if not reading.rules.packing:
        ignored.add("dry check")
    return tuple(duty for duty in reading.plan.duties if duty.work not in ignored)


def check(reading: Reading) -> Iterator[Fault]:
    """Each duty by itself, then each hand's duties in order."""
    days = reading.asked.days
    kitchen = reading.asked.kitchen
    shifts = {hand.name: Hours(kitchen.shifts(hand, days)) for hand in kitchen.hands}
    subjects = {run.id for run in reading.plan.runs}
    subjects |= {charge.code for _, charge in reading.plan.charges()}
    prepared = {each.placed.code: each for each in reading.prepared}
    of_hand: dict[str, list[Duty]] = defaultdict(list)
    for duty in duties_in_force(reading):
        if duty.span.end <= duty.span.start:
            yield _fault(reading, duty, what="ends before it starts")
        elif duty.subject not in subjects:
            yield _fault(reading, duty, what=f"is for {duty.subject}, which is not in the plan")
        elif duty.who not in shifts:
            yield from _of_grower(reading, duty, each=prepared.get(duty.subject))
        elif not shifts[duty.who].contain(duty.span):
            yield _fault(reading, duty, what="is outside the shift")
        of_hand[duty.who].append(duty)
    for who in shifts:
        yield from _two_at_once(reading, of_hand[who])


def _of_grower(reading: Reading, duty: Duty, *, each: Prepared | None) -> Iterator[Fault]:
    """The pair may attend a steamer with its own charge, once its cutting is done."""
    if all(grower.id != duty.who for grower in reading.asked.growers):
        yield _fault(reading, duty, what="is given to nobody whom the kitchen knows")
    elif duty.work != "steam":
        yield _fault(reading, duty, what="is work for kitchen hands")
    elif each is None or each.placed.grower.id != duty.who:
        yield _fault(reading, duty, what="is at the steamer of somebody else's charge")
    elif each.placed.grower.people < 2:  # noqa: PLR2004
        yield _fault(reading, duty, what="is at a steamer, which a grower alone cannot attend")
    elif duty.span.start < each.how.cut.end:
        yield _fault(reading, duty, what="is at a steamer before the grower's cutting ends")


def _two_at_once(reading: Reading, duties: list[Duty]) -> Iterator[Fault]:
    lasting: Duty | None = None
    for duty in sorted(duties, key=lambda each: (each.span, each.work, each.subject)):
        if lasting and duty.span.start < lasting.span.end:
            until = reading.say.at(lasting.span.end)
            yield _fault(reading, duty, what=f"begins while {lasting.work} lasts until {until}")
        if lasting is None or duty.span.end > lasting.span.end:
            lasting = duty


def _fault(reading: Reading, duty: Duty, *, what: str) -> Fault:
    message = f"{duty.who}'s duty ({duty.work}, {reading.say.when(duty.span)}) {what}"
    run, charge = next(
        (
            (run.id, charge.code if charge.code == duty.subject else None)
            for run, charge in reading.plan.charges()
            if duty.subject in (run.id, charge.code)
        ),
        (None, None),
    )
    return Fault(12, message, run, charge)
