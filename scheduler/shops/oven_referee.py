"""The referee of oven loads: sharing nothing with what makes them, the cost included."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from scheduler.shops.ovens import Batch, Loads, Ovens


def faults(ovens: Ovens, loads: Loads) -> tuple[str, ...]:
    """What is wrong, each in a sentence; empty where the loads stand."""
    counted = Counter(job for batch in loads for job in batch.jobs)
    wrong = [
        f"job {job} is in {counted[job]} batches"
        for job in range(len(ovens.jobs))
        if counted[job] != 1
    ]
    for batch in loads:
        wrong += _of_batch(ovens, batch)
    for oven in range(len(ovens.ovens)):
        wrong += _of_oven(ovens, loads, oven)
    return tuple(wrong)


def judged_cost(ovens: Ovens, loads: Loads) -> int:
    """Counted once more, job by job and oven by oven."""
    total = 0
    for index, oven in enumerate(ovens.ovens):
        state = oven.family
        for batch in sorted((b for b in loads if b.oven == index), key=lambda b: b.start):
            family = ovens.jobs[batch.jobs[0]].family
            total += ovens.weights.set_up * ovens.set_up_cost[state][family]
            total += ovens.weights.tick * batch.ticks
            state = family
            for job in batch.jobs:
                if batch.start + batch.ticks > ovens.jobs[job].latest:
                    total += ovens.weights.late
    return total


def _of_batch(ovens: Ovens, batch: Batch) -> Iterator[str]:
    name = f"the batch at {batch.start} in oven {batch.oven}"
    inside = [ovens.jobs[job] for job in batch.jobs]
    if not inside:
        yield f"{name} is empty"
    if len({job.family for job in inside}) > 1:
        yield f"{name} mixes families"
    if sum(job.size for job in inside) > ovens.ovens[batch.oven].capacity:
        yield f"{name} is larger than the oven"
    for number, job in zip(batch.jobs, inside, strict=True):
        if batch.oven not in job.ovens:
            yield f"{name}: job {number} may not be there"
        if batch.start < job.earliest:
            yield f"{name}: job {number} is not there yet"
        if not job.shortest <= batch.ticks <= job.longest:
            yield f"{name}: job {number} does not bear {batch.ticks} ticks"


def _of_oven(ovens: Ovens, loads: Loads, index: int) -> Iterator[str]:
    oven = ovens.ovens[index]
    batches = sorted((b for b in loads if b.oven == index and b.jobs), key=lambda b: b.start)
    families = [oven.family, *(ovens.jobs[batch.jobs[0]].family for batch in batches)]
    for batch, (before, family) in zip(batches, pairwise(families), strict=True):
        begins = batch.start - ovens.set_up_ticks[before][family]
        ends = batch.start + batch.ticks
        if not any(opens <= begins and ends <= shuts for opens, shuts in oven.windows):
            yield f"the batch at {batch.start} in oven {index} leaves the oven's windows"
    for (one, other), changed in zip(pairwise(batches), pairwise(families[1:]), strict=True):
        free = one.start + one.ticks + ovens.set_up_ticks[changed[0]][changed[1]]
        if other.start < free:
            yield f"the batch at {other.start} in oven {index} begins before the oven is set up"
