"""Lots that are out of a dryer and wait for their dry check, or for another one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.records.notes import Lot
from api.services.at_the_door import posted_plan
from api.services.day_to_tick import Done, written_down
from api.services.errors import NotNow
from api.services.house import card_of, grower_of
from api.services.lots import lot
from api.services.notes import note
from api.services.ports import Book
from api.services.roles import Act, Doing, must
from api.services.runs import KeptRun, kept_runs, runs_of
from scheduler.day_sheet.context import Context
from scheduler.day_sheet.sampling import sample_racks
from scheduler.domain.harvest import Grower
from scheduler.domain.plan import Charge
from scheduler.domain.process_card import ProcessCard
from scheduler.started import all_runs

# States of lots of which racks may be out.
OUT = ("on racks", "off racks", "held", "back to dryer", "passed")


@dataclass(frozen=True, slots=True)
class ToCheck:
    """The racks of one lot that came out of one run. racks: the positions to sample, as on the day
    sheet; among: those where its racks are. last: what was read and decided last, None while
    nothing was. went_on: the further run that they are in, after a check that failed."""

    lot: Lot
    grower: Grower
    card: ProcessCard
    run: KeptRun
    racks: tuple[int, ...]
    among: range
    last: Done | None
    went_on: KeptRun | None = None

    @property
    def is_held(self) -> bool:
        held = self.last is not None and self.last.told["decision"] == "hold"
        return held and self.went_on is None

    @property
    def is_due(self) -> bool:
        return self.went_on is None and (self.last is None or self.is_held)


def to_check(book: Book, doing: Doing, code: str, number: int) -> ToCheck:
    """That lot in that run; NotNow while the run is not unloaded."""
    found = lot(book, doing, code, Act.DRY_CHECK)
    runs = {each.number: each for each in runs_of(book, found)}
    if number not in runs or runs[number].unloaded is None:
        raise NotNow(f"no run {number} with lot {code} is on record as unloaded")
    return _to_check(book, doing, found, runs[number])


def due(book: Book, doing: Doing) -> tuple[ToCheck, ...]:
    """All that are out and were not checked yet, or are held; the longest out first."""
    must(doing, Act.DRY_CHECK)
    found = [each for each in _out(book, doing) if each.is_due]
    return tuple(sorted(found, key=lambda each: (each.run.unloaded or doing.at, each.lot.code)))


def _out(book: Book, doing: Doing) -> Iterator[ToCheck]:
    for found in book.lots.where(state=OUT):
        for run in runs_of(book, found):
            if run.unloaded is not None:
                yield _to_check(book, doing, found, run)


def _to_check(book: Book, doing: Doing, found: Lot, run: KeptRun) -> ToCheck:
    entry = note(book, doing, found.note_id, Act.DRY_CHECK)
    planned = _planned(book, found, run)
    return ToCheck(
        lot=found,
        grower=grower_of(book, found.grower_id),
        card=card_of(book, entry.card_id),
        run=run,
        racks=_racks(planned, found, run),
        among=_among(planned, found, run),
        last=_last(book, found, run.number),
        went_on=next((each for each in runs_of(book, found) if each.further == run.number), None),
    )


def _last(book: Book, found: Lot, number: int) -> Done | None:
    told = book.happenings.where(subject=found.code, kind="dry check")
    of_run = [each for each in told if each.told["run"] == number]
    if not of_run:
        return None
    person = book.people.find(of_run[-1].by)
    return Done(person.name if person else of_run[-1].by, of_run[-1].at, of_run[-1].told)


def racks_in(book: Book, found: Lot, run: KeptRun) -> range:
    """The positions in the dryer at which racks of the lot can have been in that run: those of the
    posted plan; of a run that it does not know, any of the run."""
    return _among(_planned(book, found, run), found, run)


def _among(planned: tuple[Charge, str] | None, found: Lot, run: KeptRun) -> range:
    if planned is None:
        return range(1, 1 + sum(each.racks for each in run.run.charges))
    first = planned[0].first_rack
    return range(first, first + max(planned[0].racks, run.racks_of(found.note_id)))


def _racks(planned: tuple[Charge, str] | None, found: Lot, run: KeptRun) -> tuple[int, ...]:
    """As the posted plan has them; of a run that it does not know, one lot after the other in the
    order in which they were told."""
    if planned is not None:
        charge, seed = planned
        return sample_racks(charge.first_rack, charge.racks, seed=seed)
    first = 1
    for told in run.run.charges:
        if told.note_id == found.note_id:
            return sample_racks(first, told.racks, seed=f"{run.number}/{found.code}")
        first += told.racks
    return ()


def _planned(book: Book, found: Lot, run: KeptRun) -> tuple[Charge, str] | None:
    """The charge of the posted plan that these racks are, and what its samples are drawn from."""
    kept = posted_plan(book, found.week)
    if kept is None:
        return None
    planned = all_runs(kept.asked, kept.plan)
    names = written_down(planned, kept_runs(book, found.week))
    charges = (
        charge
        for each in planned
        if names.get(each.id) == run
        for charge in each.charges
        if charge.note_id == found.note_id
    )
    charge = next(charges, None)
    context = Context(kept.asked, kept.plan, kept.plan.week.monday)
    return None if charge is None else (charge, context.seed(charge))
