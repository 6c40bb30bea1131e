"""Ovens for CP-SAT: gaps between kept batches, each a row of slots that free jobs may fill."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from scheduler.model.parts import Expression, Literal
from scheduler.shops.oven_bound import least_batches, least_ticks
from scheduler.shops.oven_conflicts import never_in_time
from scheduler.shops.ovens import Batch, Loads, Ovens


@dataclass(frozen=True, slots=True)
class Gap:
    """Room on an oven from a tick on, with the family set up then, until a kept batch of another
    family starts (None: nothing follows); so many batches may be made in it."""

    oven: int
    begins: int
    family: int
    ends: int
    next_family: int | None
    slots: int


@dataclass(slots=True)
class Slot:
    """Room for one batch. families: literals by family; jobs: by job, whether it is in it."""

    gap: Gap
    used: Literal
    start: Literal
    ticks: Literal
    families: dict[int, Literal]
    windows: dict[int, Literal] = field(default_factory=dict)  # by window of the oven
    jobs: dict[int, Literal] = field(default_factory=dict)
    set_up: Literal | None = None
    cost: Literal | None = None

    @property
    def end(self) -> Expression:
        return self.start + self.ticks


@dataclass(slots=True)
class OvenBuild:
    """A model under construction. late: by free job."""

    ovens: Ovens
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    rows: list[list[Slot]] = field(default_factory=list)
    late: dict[int, Literal] = field(default_factory=dict)
    in_time: dict[tuple[int, int], Literal] = field(default_factory=dict)  # by oven and job
    closing: list[Literal] = field(default_factory=list)  # set-up cost of what follows each gap


def oven_model(ovens: Ovens, gaps: Sequence[Gap], free: Collection[int]) -> OvenBuild:
    """The model in which the free jobs fill the gaps, at the least cost."""
    build = OvenBuild(ovens)
    model = build.model
    build.late = {job: model.new_bool_var(f"late {job}") for job in free}
    build.rows = [_row(build, gap, free) for gap in gaps]
    for job in free:
        model.add_exactly_one(
            slot.jobs[job] for row in build.rows for slot in row if job in slot.jobs
        )
    _least(build, free)
    weights = ovens.weights
    slots = [slot for row in build.rows for slot in row]
    set_ups = [slot.cost for slot in slots if slot.cost is not None] + build.closing
    model.minimize(
        weights.tick * sum(slot.ticks for slot in slots)
        + weights.late * sum(build.late.values())
        + weights.set_up * sum(set_ups)
    )
    return build


def _least(build: OvenBuild, free: Collection[int]) -> None:
    """Ticks and batches that the free jobs need at least, and jobs that are late for certain."""
    model, jobs = build.model, build.ovens.jobs
    slots = [slot for row in build.rows for slot in row]
    total = 0
    for family in sorted({jobs[job].family for job in free}):
        own = [jobs[job] for job in free if jobs[job].family == family]
        literals = [slot.families[family] for slot in slots if family in slot.families]
        model.add(sum(literals) >= least_batches(build.ovens, own))
        total += least_ticks(build.ovens, own)
    model.add(sum(slot.ticks for slot in slots) >= total)
    for job in free:
        if never_in_time(build.ovens, jobs[job]):
            model.add(build.late[job] == 1)


def _row(build: OvenBuild, gap: Gap, free: Collection[int]) -> list[Slot]:
    jobs = build.ovens.jobs
    own = [job for job in free if gap.oven in jobs[job].ovens]
    row: list[Slot] = []
    for number in range(min(gap.slots, len(own))):
        slot = _slot(build, gap, own, number)
        if row:
            build.model.add_implication(slot.used, row[-1].used)
        _set_up(build, slot, row[-1] if row else None)
        _windows(build, slot)
        row.append(slot)
    if row and gap.next_family is not None:
        _close(build, row, gap.next_family)
    return row


def _slot(build: OvenBuild, gap: Gap, own: list[int], number: int) -> Slot:
    model, jobs, name = build.model, build.ovens.jobs, f"{gap.oven} {gap.begins} {number}"
    longest = max(jobs[job].shortest for job in own)
    slot = Slot(
        gap,
        used=model.new_bool_var(name),
        start=model.new_int_var(gap.begins, gap.ends, f"{name} start"),
        ticks=model.new_int_var(0, longest, f"{name} ticks"),
        families={
            family: model.new_bool_var(f"{name} of {family}")
            for family in sorted({jobs[job].family for job in own})
        },
    )
    model.add(sum(slot.families.values()) == slot.used)
    for job in own:
        _may_hold(build, slot, job)
    inside = list(slot.jobs.values())
    model.add(
        cp_model.LinearExpr.weighted_sum(inside, [jobs[job].size for job in own])
        <= build.ovens.ovens[gap.oven].capacity * slot.used
    )
    model.add_bool_or([*inside, ~slot.used])
    model.add(slot.ticks == 0).only_enforce_if(~slot.used)
    return slot


def _may_hold(build: OvenBuild, slot: Slot, number: int) -> None:
    model, job = build.model, build.ovens.jobs[number]
    inside = slot.jobs[number] = model.new_bool_var(f"{number} in {slot.start}")
    model.add_implication(inside, slot.families[job.family])
    model.add(slot.start >= job.earliest).only_enforce_if(inside)
    model.add(slot.ticks >= job.shortest * inside)
    model.add(slot.ticks <= job.longest).only_enforce_if(inside)
    model.add(slot.end <= job.latest).only_enforce_if(inside, ~build.late[number])


def _set_up(build: OvenBuild, slot: Slot, before: Slot | None) -> None:
    """Ticks and cost of the set-up before a slot, and the slot after what it follows."""
    model, ovens = build.model, build.ovens
    slot.set_up = model.new_int_var(0, max(map(max, ovens.set_up_ticks)), "set-up")
    slot.cost = model.new_int_var(0, max(map(max, ovens.set_up_cost)), "set-up cost")
    earlier = {slot.gap.family: slot.used} if before is None else before.families
    for one, first in earlier.items():
        for other, then in slot.families.items():
            both = (first, then)
            model.add(slot.set_up >= ovens.set_up_ticks[one][other]).only_enforce_if(both)
            model.add(slot.cost >= ovens.set_up_cost[one][other]).only_enforce_if(both)
    _least_set_up(build, slot)
    free = slot.gap.begins if before is None else before.end
    model.add(slot.start >= free + slot.set_up)


def _least_set_up(build: OvenBuild, slot: Slot) -> None:
    """Whatever came before: at least the least before each family."""
    ovens, index = build.ovens, slot.gap.oven
    for variable, table in ((slot.set_up, ovens.set_up_ticks), (slot.cost, ovens.set_up_cost)):
        least = [ovens.least_set_up(table, index, family) for family in slot.families]
        literals = list(slot.families.values())
        build.model.add(variable >= cp_model.LinearExpr.weighted_sum(literals, least))


def _windows(build: OvenBuild, slot: Slot) -> None:
    """The set-up and the batch lie in one window of the oven."""
    model, gap = build.model, slot.gap
    assert slot.set_up is not None
    for index, (opens, shuts) in enumerate(build.ovens.ovens[gap.oven].windows):
        if shuts <= gap.begins or opens >= gap.ends:
            continue
        literal = model.new_bool_var(f"{slot.start} in {opens}")
        model.add(slot.start >= opens + slot.set_up).only_enforce_if(literal)
        model.add(slot.end <= shuts).only_enforce_if(literal)
        slot.windows[index] = literal
    model.add(sum(slot.windows.values()) == slot.used)


def _close(build: OvenBuild, row: list[Slot], family: int) -> None:
    """What follows the gap finds the oven free and set up in time, and at what cost."""
    model, ovens, gap = build.model, build.ovens, row[0].gap
    windows = ovens.ovens[gap.oven].windows
    since = max(opens for opens, _ in windows if opens <= gap.ends)  # its set-up, too
    cost = model.new_int_var(0, max(map(max, ovens.set_up_cost)), "closing")

    def follows(one: int, free: Expression, enforced: Sequence[cp_model.LiteralT]) -> None:
        set_up = ovens.set_up_ticks[one][family]
        if since + set_up > gap.ends or (isinstance(free, int) and free + set_up > gap.ends):
            model.add_bool_or([~literal for literal in enforced])
        else:
            model.add(free + set_up <= gap.ends).only_enforce_if(enforced)
        model.add(cost >= ovens.set_up_cost[one][family]).only_enforce_if(enforced)

    follows(gap.family, gap.begins, [row[0].used.negated()])
    for slot, after in zip(row, [*row[1:], None], strict=True):
        last = [slot.used] if after is None else [slot.used, ~after.used]
        for one, literal in slot.families.items():
            follows(one, slot.end, [*last, literal])
    build.closing.append(cost)


def hint(build: OvenBuild, loads: Sequence[Batch]) -> None:
    """Every variable at its value in the batches that now stand in the gaps, in order of start."""
    model, jobs = build.model, build.ovens.jobs
    end_of = {job: batch.end for batch in loads for job in batch.jobs}
    for job, late in build.late.items():
        model.add_hint(late, end_of[job] > jobs[job].latest)
    oven_of = {job: batch.oven for batch in loads for job in batch.jobs}
    for (oven, job), literal in build.in_time.items():
        model.add_hint(literal, oven_of[job] == oven and end_of[job] <= jobs[job].latest)
    closing = iter(build.closing)
    for row in build.rows:
        if not row:
            continue
        gap = row[0].gap
        own = [b for b in loads if b.oven == gap.oven and gap.begins <= b.start < gap.ends]
        family = _hint_row(build, row, sorted(own, key=lambda batch: batch.start))
        if gap.next_family is not None:
            model.add_hint(next(closing), build.ovens.set_up_cost[family][gap.next_family])


def _hint_row(build: OvenBuild, row: list[Slot], own: list[Batch]) -> int:
    """The family set up after the row."""
    model, ovens = build.model, build.ovens
    family, at = row[0].gap.family, row[0].gap.begins
    for slot, batch in zip(row, [*own, *[None] * (len(row) - len(own))], strict=True):
        inside = batch.jobs if batch else ()
        now = ovens.jobs[inside[0]].family if inside else None
        set_up = ovens.set_up_ticks[family][now] if now is not None else 0
        start, ticks = (batch.start, batch.ticks) if batch else (at, 0)
        model.add_hint(slot.used, batch is not None)
        model.add_hint(slot.start, start)
        model.add_hint(slot.ticks, ticks)
        assert slot.set_up is not None and slot.cost is not None  # noqa: PT018 one thought
        model.add_hint(slot.set_up, set_up)
        model.add_hint(slot.cost, ovens.set_up_cost[family][now] if now is not None else 0)
        for each, literal in slot.families.items():
            model.add_hint(literal, each == now)
        for each, literal in slot.jobs.items():
            model.add_hint(literal, each in inside)
        _hint_windows(build, slot, batch, set_up)
        family, at = family if now is None else now, start + ticks
    return family


def _hint_windows(build: OvenBuild, slot: Slot, batch: Batch | None, set_up: int) -> None:
    windows = build.ovens.ovens[slot.gap.oven].windows
    for index, literal in slot.windows.items():
        opens, shuts = windows[index]
        inside = batch is not None and opens <= batch.start - set_up and batch.end <= shuts
        build.model.add_hint(literal, inside)


def loads_of(build: OvenBuild, solver: cp_model.CpSolver) -> Loads:
    """The batches that the solver put into the gaps."""
    found = []
    for row in build.rows:
        for slot in row:
            jobs = tuple(job for job, inside in slot.jobs.items() if solver.boolean_value(inside))
            if jobs:
                start = int(solver.value(slot.start))
                found.append(Batch(slot.gap.oven, start, int(solver.value(slot.ticks)), jobs))
    return tuple(found)
