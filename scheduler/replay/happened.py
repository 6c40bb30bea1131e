"""What may have come of a posted week, drawn by chance at demo rates, beside its plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.process.yields import dried_g
from scheduler.season.records import Checked, Gone, LotRecord, Posted, Ran, Taken, WeekRecord
from scheduler.units import Grams

HOUR, GRID = timedelta(hours=1), timedelta(minutes=5)
HELD = 23 / 458  # lots of the demo scenario's season that were dried again
GONE = 1 / 50  # notes with a place whose grower does not come, or lets go (demo)
AGAIN_HOURS = 2  # demo
OFF_MINUTES = 20  # how far the end of drying is off at most (demo)
SPREAD = 12  # percent that weights are off at most (demo)
BUYERS = ("Saturday market", "farm shop", "box scheme")  # demo


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What chance has decided of the week's notes. again: held runs' charges, dried again."""

    posted: Posted
    rng: Random
    gone: tuple[Gone, ...]
    held: frozenset[str]

    @property
    def asked(self) -> Asked:
        return self.posted.asked

    @property
    def plan(self) -> Plan:
        return self.posted.plan


def happened(posted: Posted, rng: Random) -> WeekRecord:
    """The week as it is on record: every run, every lot that came, those who did not."""
    placed = sorted({charge.note_id for _, charge in posted.plan.charges()})
    gone = tuple(_gone(posted, rng, each) for each in placed if rng.random() < GONE)
    away = {each.note_id for each in gone}
    came = [each for each in placed if each not in away]
    drawn = _Drawn(posted, rng, gone, frozenset(each for each in came if rng.random() < HELD))
    first = tuple(ran for run in posted.plan.runs if (ran := _ran(drawn, run)))
    again = _dried_again(drawn, first)
    return WeekRecord(
        posted=(posted,),
        ran=tuple(sorted((*first, *again.values()), key=lambda each: each.run.start)),
        lots=tuple(_lot(drawn, first, each, again.get(each)) for each in came),
        outages=posted.asked.happened.outages,
        gone=gone,
    )


def _gone(posted: Posted, rng: Random, note_id: str) -> Gone:
    arrives = posted.asked.note(note_id).arrives
    if rng.random() < 0.5:  # noqa: PLR2004 as often one as the other
        return Gone(note_id, "no-show", arrives + HOUR)
    return Gone(note_id, "let go", arrives - rng.choice([6, 40]) * HOUR)


def _ran(drawn: _Drawn, run: Run) -> Ran | None:
    away = {each.note_id for each in drawn.gone}
    charges = tuple(each for each in run.charges if each.note_id not in away)
    if not charges:
        return None
    off = drawn.rng.randint(-OFF_MINUTES // 5, OFF_MINUTES // 5) * GRID
    latest = run.unload.start if run.unload else run.released
    return Ran(replace(run, charges=charges, end=min(run.end + off, latest)), run, on_record=True)


def _dried_again(drawn: _Drawn, ran: tuple[Ran, ...]) -> dict[str, Ran]:
    """For each lot that was held and for which a dryer was free by day: the run that followed."""
    found: dict[str, Ran] = {}
    for note_id in sorted(drawn.held):
        run, charge = next(
            (each.run, charge)
            for each in reversed(ran)
            for charge in each.run.charges
            if charge.note_id == note_id
        )
        taken = [*drawn.plan.runs, *(each.run for each in found.values())]
        place = _gap(drawn.asked, taken, run, charge=charge)
        if place:
            dryer_id, start = place
            end = start + AGAIN_HOURS * HOUR
            more = Run(f"{run.id} again", dryer_id, run.set_point_c, start, end, end, None, None,
                       (replace(charge, first_rack=1, preparation=None, after=None),))  # fmt: skip
            found[note_id] = Ran(more, None, on_record=True, again=True)
    return found


def _gap(
    asked: Asked, taken: list[Run], run: Run, *, charge: Charge
) -> tuple[str, datetime] | None:
    """A dryer and a start by day at which the charge may be dried again after its dry check,
    turn-rounds and a wash-down on both sides."""
    group = asked.card(asked.note(charge.note_id).card_id).group
    ready = charge.after.dry_check.end if charge.after else run.released + 2 * HOUR
    for open_ in asked.kitchen.staffed_spans(asked.week.days):
        start = max(open_.start, ready)
        end = start + AGAIN_HOURS * HOUR
        if end + HOUR > open_.end:
            continue
        room = Span(start - 2 * HOUR, end + 2 * HOUR)
        for dryer in asked.kitchen.dryers:
            busy = (Span(each.start, each.released) for each in taken if each.dryer_id == dryer.id)
            stops = (
                Span(each.stopped, each.back or room.end)
                for each in asked.happened.outages
                if each.station_id == dryer.id
            )
            fits = group in dryer.groups and dryer.racks >= charge.racks
            if fits and not any(room.overlaps(each) for each in (*busy, *stops)):
                return dryer.id, start
    return None


def _lot(drawn: _Drawn, ran: tuple[Ran, ...], note_id: str, again: Ran | None) -> LotRecord:
    asked, rng = drawn.asked, drawn.rng
    note = asked.note(note_id)
    card = asked.card(note.card_id)
    own = [
        (each.run, charge)
        for each in ran
        for charge in each.run.charges
        if charge.note_id == note_id
    ]
    dried = sum(
        dried_g(c.prepared_g, card.water_in_percent, water_out_percent=card.water_out_percent)
        for _, c in own
    )
    lost = note_id in drawn.held and again is None
    bags = 0 if lost else dried * (100 + rng.randint(-SPREAD, 3)) // 100 // card.bag_g
    packed = max(charge.after.packing.end for _, charge in own if charge.after)
    if again:
        packed = max(packed, again.run.end + 2 * HOUR)
    by = asked.kitchen.hands[rng.randrange(len(asked.kitchen.hands))].name
    came = _came(rng, note.arrives, [charge for _, charge in own])
    local = came.astimezone(asked.kitchen.zone)
    return LotRecord(
        note_id=note_id,
        code=f"{local:%y-%j}-{note.grower_id}-{card.id[:3].upper()}-{note_id.rpartition('-')[2]}",
        came=came,
        weighed_g=Grams(note.field_g * (100 + rng.randint(-SPREAD, SPREAD)) // 100),
        by=by,
        bags=bags or None,
        packed=packed if bags else None,
        checks=tuple(_checks(drawn, own, again, by)),
        discarded_g=dried if lost else 0,
        went_to=_went(rng, bags, packed),
    )


def _came(rng: Random, expected: datetime, charges: list[Charge]) -> datetime:
    """Up to half an hour early, up to two hours late, but before washing began."""
    washed = min(c.preparation.wash.start for c in charges if c.preparation)
    return min(washed, expected + timedelta(minutes=rng.choice([-30, -10, 0, 0, 10, 30, 90, 120])))


def _checks(
    drawn: _Drawn, own: list[tuple[Run, Charge]], again: Ran | None, by: str
) -> list[Checked]:
    """A check of each charge; of what was held, one more after it was dried again."""
    rng = drawn.rng
    last = own[-1][1].note_id
    found = []
    for place, (run, charge) in enumerate(own, 1):
        held = last in drawn.held and place == len(own)
        activity = rng.randint(58, 70) / 100 if held else rng.randint(30, 54) / 100
        at = charge.after.dry_check.start if charge.after else run.released + HOUR
        found.append(
            Checked(at, run.id, "hold" if held else "pass", by, activity, rng.randint(60, 95) / 10)
        )
    if again:
        at = again.run.end + HOUR
        found.append(Checked(at, again.run.id, "pass", by, 0.5, 8.0))
    return found


def _went(rng: Random, bags: int, packed: datetime) -> tuple[Taken, ...]:
    """To whom, as soon as they are packed: demo."""
    first = bags * rng.randint(30, 100) // 100
    parts = [(rng.choice(BUYERS), first), (BUYERS[0], bags - first)]
    return tuple(Taken(to, count, packed) for to, count in parts if count)
