"""The kitchen's own suites: invented weeks, peak weeks, single days, and mends after a stop."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from statistics import median
from typing import TYPE_CHECKING, Any

from scheduler.bench import PEAK_DRYERS, PEAK_LOTS, Outcome
from scheduler.domain.asked import Asked
from scheduler.domain.mend import Mend, ReLaid
from scheduler.domain.outage import Happened, Outage
from scheduler.domain.plan import Plan
from scheduler.domain.promised import Promised
from scheduler.units import Grams, kg
from scheduler.verify import verify
from scheduler.weeks import week

if TYPE_CHECKING:
    from scheduler.planning import Limits

SEEDS = 5
STOPS_AFTER = timedelta(hours=2)  # of the run that the stop meets (demo)


class KitchenSuite(StrEnum):
    """Suites by name."""

    WEEKS = "weeks"
    PEAK = "peak"
    DAY = "day"
    RELAY = "relay"
    SCALE = "scale"


def cases(suite: KitchenSuite, seed: int) -> tuple[Asked, ...]:
    """Five seeds from that one on."""
    return tuple(_case(suite, each) for each in range(seed, seed + SEEDS))


def _case(suite: KitchenSuite, seed: int) -> Asked:
    if suite is KitchenSuite.PEAK:
        peak = week(seed, lots=PEAK_LOTS, dryers=PEAK_DRYERS)
        return replace(peak, name=f"peak-{seed}")
    asked = week(seed)
    if suite is KitchenSuite.DAY:
        return _fullest_day(asked, seed)
    return asked


def _fullest_day(asked: Asked, seed: int) -> Asked:
    """The notes that come on the day on which most come."""
    days = [note.arrives.date() for note in asked.notes]
    fullest = max(sorted(set(days)), key=days.count)
    notes = tuple(note for note in asked.notes if note.arrives.date() == fullest)
    return replace(asked, name=f"day-{seed}", notes=notes)


def medians(outcomes: Sequence[Outcome]) -> dict[str, Any]:
    """Of all seeds: seconds to a first plan, gaps at checkpoints all reached, and at the end."""
    reached = set.intersection(*(set(outcome.gaps) for outcome in outcomes))
    return {
        "seeds": len(outcomes),
        "first_plan_s": median(outcome.first_plan_s for outcome in outcomes),
        "gaps": {
            str(at): median(outcome.gaps[at] for outcome in outcomes) for at in sorted(reached)
        },
        "gap": median(outcome.proof.gap for outcome in outcomes),
        "largest_gap": max(outcome.proof.gap for outcome in outcomes),
        "proven": sum(outcome.proof.gap == 0 for outcome in outcomes),
    }


@dataclass(frozen=True, slots=True)
class Mended:
    """A stop and what became of the plan, in prepared kg.

    drop_only_kg: what of the plan in hand still stands, nothing moved. afresh_kg: laid out anew
    beside what has begun, for as long as the mend, whoever moves. avoidable: turns that the
    proposed mend moves though they could stay.
    """

    name: str
    drop_only_kg: float
    small_kg: float
    small_s: float
    proposed_kg: float
    afresh_kg: float
    moved: int
    avoidable: int
    wall_s: float
    faults: tuple[str, ...]

    @property
    def below_afresh(self) -> float:
        """Share of one; below 0 where the mend is better."""
        return 1 - self.proposed_kg / self.afresh_kg if self.afresh_kg else 0.0


def mended(asked: Asked, limits: Limits) -> Mended:
    """The week laid out, then a dryer stops in its middle run, and comes back after a day."""
    from scheduler.planning import lay_out  # noqa: PLC0415 only who lays out loads the solver

    plan = lay_out(asked, limits=limits, explain_seconds=0).plan
    met, now = stopped(asked, plan)
    return _measured(met, plan, now, limits)


def stopped(asked: Asked, plan: Plan) -> tuple[Asked, datetime]:
    """The run in the middle of the week's runs stops two hours after its start, all notes firm."""
    runs = sorted(plan.runs, key=lambda run: (run.start, run.dryer_id))
    run = runs[len(runs) // 2]
    now = run.start + min(STOPS_AFTER, (run.end - run.start) / 2)
    stop = Outage(run.dryer_id, now, now + timedelta(days=1), "demo")
    firm = frozenset(charge.note_id for _, charge in plan.charges())
    met = replace(asked, promised=Promised(plan, firm), happened=Happened(now, outages=(stop,)))
    return met, now


def _measured(asked: Asked, plan: Plan, now: datetime, limits: Limits) -> Mended:
    from scheduler.model import search  # noqa: PLC0415 loads the solver
    from scheduler.re_lay import in_hand, re_laid  # noqa: PLC0415
    from scheduler.re_lay.week import week_of  # noqa: PLC0415
    from scheduler.worth import worth  # noqa: PLC0415

    found = re_laid(asked, plan, now, limits=limits)
    proposed = _proposed(found)
    in_question = in_hand(asked, plan, now, proposed.plan.part_lots)
    dropped = week_of(in_question, now, ())
    afresh = search.run(dropped.going, limits)
    moves = [each for each in proposed.moves if each.was is not None]
    return Mended(
        asked.name,
        drop_only_kg=kg(Grams(worth(dropped.problem, dropped.whole.firm.draft))),
        small_kg=kg(found.small.worth_g),
        small_s=found.small.seconds,
        proposed_kg=kg(proposed.worth_g),
        afresh_kg=kg(Grams(worth(dropped.problem, afresh.draft))),
        moved=len(moves),
        avoidable=sum(not each.forced for each in moves),
        wall_s=proposed.seconds,
        faults=tuple(f"rule {f.rule}: {f.message}" for f in verify(in_question, proposed.plan)),
    )


def _proposed(found: ReLaid) -> Mend:
    return found.whole if found.proposed == "whole" and found.whole else found.small


def mends(asked: Sequence[Asked], limits: Limits) -> Iterator[Mended]:
    """One after the other."""
    return (mended(each, limits) for each in asked)


def mended_json(each: Mended) -> dict[str, Any]:
    """JSON values."""
    return asdict(each) | {"below_afresh": each.below_afresh}


def mend_medians(found: Sequence[Mended]) -> dict[str, Any]:
    """Of all seeds; better: how many small changes hold more than what merely stands."""
    return {
        "seeds": len(found),
        "small_s": median(each.small_s for each in found),
        "better_than_drop_only": sum(each.proposed_kg > each.drop_only_kg for each in found),
        "below_afresh": median(each.below_afresh for each in found),
        "avoidable": median(each.avoidable for each in found),
        "wall_s": median(each.wall_s for each in found),
    }
