"""Rule 5: racks enough for each charge, and no more in a run than its dryer has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from scheduler.domain.plan import Run
from scheduler.process.racks import racks_needed, share_g
from scheduler.units import Grams, Racks
from scheduler.verify.fault import Fault
from scheduler.verify.reading import Placed, Reading


def whole_racks(placed: Placed) -> Racks:
    """Racks that the whole lot would need in that charge's dryer."""
    area = placed.dryer.rack_area_cm2
    return racks_needed(placed.whole_g, placed.card.g_per_m2, rack_area_cm2=area)


def check(reading: Reading) -> Iterator[Fault]:
    """Each dryer's racks, then each lot's racks and weight."""
    yield from check_positions(reading)
    for charges in reading.of_note.values():
        yield from _lot(reading, charges)


def check_positions(reading: Reading) -> Iterator[Fault]:
    """The racks of a run fill the dryer at most; positions do not overlap."""
    dryers = {dryer.id: dryer for dryer in reading.asked.kitchen.dryers}
    for dryer_id, runs in reading.in_dryer.items():
        has = dryers[dryer_id].racks
        for run in runs:
            if run.racks > has:
                yield Fault(5, f"Run on {dryer_id} holds {run.racks} racks of {has}", run.id)
            else:
                yield from _positions(run, has)


def _positions(run: Run, has: Racks) -> Iterator[Fault]:
    charges = sorted(run.charges, key=lambda charge: charge.first_rack)
    for charge in charges:
        last = charge.first_rack + charge.racks - 1
        if charge.racks < 1 or charge.first_rack < 1 or last > has:
            message = f"{charge.code} is put on racks {charge.first_rack} to {last} of {has}"
            yield Fault(5, message, run.id, charge.code)
    for one, other in pairwise(charges):
        if other.first_rack < one.first_rack + one.racks:
            message = f"{one.code} and {other.code} share rack {other.first_rack}"
            yield Fault(5, message, run.id, other.code)


def _lot(reading: Reading, charges: Sequence[Placed]) -> Iterator[Fault]:
    before, taken = 0, Fraction(0)
    for placed in charges:
        needed, racks = whole_racks(placed), placed.charge.racks
        if placed.charge.letter == "" and racks != needed:
            yield placed.fault(5, f"needs {needed} racks whole and has {racks}")
        elif taken + Fraction(racks, max(needed, 1)) > 1:
            message = f"brings its lot to {before + racks} racks, of {needed} that it needs"
            yield placed.fault(5, message)
        elif racks > 0:
            yield from _weight(reading, placed, before=before)
            taken += Fraction(racks, needed)
            before += racks


def _weight(reading: Reading, placed: Placed, *, before: int) -> Iterator[Fault]:
    of_racks = whole_racks(placed)
    told = (
        ("field", placed.charge.field_g, placed.note.field_g),
        ("prepared", placed.charge.prepared_g, placed.whole_g),
    )
    for kind, has, whole in told:
        share = share_g(Grams(whole), placed.charge.racks, of_racks=of_racks, before_racks=before)
        if has != share:
            message = (
                f"holds {reading.say.weight(has)} {kind} weight; {placed.charge.racks} of "
                f"{of_racks} racks are {reading.say.weight(share)}"
            )
            yield placed.fault(5, message)
