"""Goal A: the most prepared grams that have a place; in a mend also the fewest turns moved."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from scheduler.home import Home
from scheduler.model.parts import Build, Charge, Expression
from scheduler.worth import pull


def add_objective(build: Build) -> None:
    """Most prepared grams placed, what is pinned before all others, with what turns weigh that stay
    where they are in a mend.

    Counted lot by lot: a charge's sizes alone would seem to promise each charge its largest, and
    nothing would ever be proved.
    """
    charges: dict[int, list[Charge]] = defaultdict(list)
    for charge in build.charges:
        charges[charge.lot.index].append(charge)
    pinned = 1 + pull(build.problem)
    worths = (_worth(build, own) * (pinned if own[0].lot.pinned else 1) for own in charges.values())
    build.model.maximize(sum(worths) + sum(_stays(build)))


def _worth(build: Build, charges: list[Charge]) -> Expression:
    """What is placed of one lot, as problem.worth counts it: whole grams, rounded down."""
    lot, model = charges[0].lot, build.model
    if lot.parts:
        return lot.prepared_g * charges[0].present
    placed = model.new_int_var(0, lot.racks, f"{lot.note_id} placed")
    grams = model.new_int_var(0, lot.prepared_g, f"{lot.note_id} worth")
    model.add(placed == sum(build.total(charge, "racks") for charge in charges))
    model.add(lot.racks * grams <= lot.prepared_g * placed)
    return grams


def _stays(build: Build) -> Iterator[Expression]:
    """The weight of each turn that is where it was, taking charges in order of start."""
    home, easier = build.problem.home, build.problem.rules.easier
    if home is None:
        return
    for charge in build.charges:
        for turns, now in (
            (home.bringing, charge.start if easier else charge.wash),
            (home.packing, charge.pack),
        ):
            own = turns.get(charge.lot.index, ())
            if charge.number < len(own) and now is not build.nought:
                turn, stays = own[charge.number], build.boolean(f"{charge.lot.note_id} stays")
                build.model.add_implication(stays, charge.present)
                build.model.add(now == turn.at).only_enforce_if(stays)
                yield turn.whole * stays
    yield from _returns(build, home)
    for after in (each for slot in build.slots for each in slot.after):
        for turn in home.packing.get(after.charge.lot, ()):
            if turn.at == after.charge.pack:
                stays = build.boolean("packing stays")
                build.model.add(after.pack == turn.at).only_enforce_if(stays)
                yield turn.whole * stays


def _returns(build: Build, home: Home) -> Iterator[Expression]:
    """The weight of each later day of a charge that is where it was, in whichever of its lot's."""
    for lot, turns in home.returning.items():
        own = [charge for charge in build.charges if charge.lot.index == lot]
        for turn in turns:
            stays = [build.boolean("returns as before") for _ in own]
            build.model.add_at_most_one(stays)
            for charge, literal in zip(own, stays, strict=True):
                build.model.add_implication(literal, charge.present)
                build.model.add(charge.cut == turn.at).only_enforce_if(literal)
                yield turn.whole * literal
