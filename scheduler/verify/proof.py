"""Rule 0, the proof: a plan is worth what it says, and no more than its own bound."""

from __future__ import annotations

from collections.abc import Iterator

from scheduler.verify.fault import Fault
from scheduler.verify.reading import Reading


def check(reading: Reading) -> Iterator[Fault]:
    """Worth against the prepared grams that have a place, and against the bound."""
    proof, weight = reading.plan.proof, reading.say.weight
    if proof is None:
        return
    told = f"The plan is said to be worth {weight(proof.worth_g)}"
    if proof.worth_g != reading.plan.worth_g:
        yield Fault(0, f"{told}; it places {weight(reading.plan.worth_g)}")
    if proof.worth_g > proof.bound_g:
        yield Fault(0, f"{told}, more than its bound {weight(proof.bound_g)}")
