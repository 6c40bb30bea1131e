"""What trials of a season's weeks come to: kilograms, for whom, at what cost, how sure."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from statistics import mean, stdev

from scheduler.domain.clock import Week
from scheduler.replay.changes import Change
from scheduler.season.money import NOTHING, PerKg
from scheduler.units import Grams

HALF_A_KG = 500  # less is told as 0 kg


@dataclass(frozen=True, slots=True)
class Trial:
    """One week with one change and one seed: prepared grams placed without and with it, those left
    waiting with it, by the rule that costs them, and those placed more or fewer, by grower."""

    week: Week
    change: str
    seed: int
    without_g: int
    with_g: int
    left: tuple[tuple[int | None, int], ...]
    gained: tuple[tuple[str, int], ...]

    @property
    def saved_g(self) -> int:
        return self.with_g - self.without_g


@dataclass(frozen=True, slots=True)
class Supposed:
    """What a change comes to over the season. cost: what it takes to have it, in minor units;
    trials: every week with every seed; spent: what the season's kilograms took."""

    change: Change
    cost: int
    trials: tuple[Trial, ...]
    spent: PerKg = NOTHING

    @property
    def by_seed(self) -> tuple[int, ...]:
        """Prepared grams saved over all weeks, a figure for each seed."""
        seeds = sorted({each.seed for each in self.trials})
        return tuple(
            sum(each.saved_g for each in self.trials if each.seed == seed) for seed in seeds
        )

    @property
    def saved_g(self) -> Grams:
        """The mean over the seeds; 0 where no week was tried."""
        return Grams(round(mean(self.by_seed or (0,))))

    @property
    def without_g(self) -> Grams:
        """Prepared grams placed without it over all weeks, the mean over the seeds."""
        seeds = {each.seed for each in self.trials}
        return Grams(round(sum(each.without_g for each in self.trials) / (len(seeds) or 1)))

    @property
    def waited_g(self) -> Grams:
        """Prepared grams without a place without it, the mean over the seeds."""
        left = sum(grams for each in self.trials for _, grams in each.left)
        return Grams(self.saved_g + round(left / (len(self.by_seed) or 1)))

    @property
    def weeks(self) -> int:
        return len({each.week for each in self.trials})

    @property
    def electricity(self) -> int:
        """Of what is saved, in minor units."""
        return self.spent.electricity(max(0, self.saved_g))

    @property
    def hands(self) -> int:
        """Their work by name on what is saved, in minor units; 0 where its shifts pay for it."""
        return 0 if self.change.paid else self.spent.hands(max(0, self.saved_g))

    @property
    def total(self) -> int:
        """To have it and to run it, in minor units."""
        return self.cost + self.electricity + self.hands

    @property
    def cost_per_kg(self) -> int | None:
        """Minor units for each kg saved; None where less than half of one is."""
        return None if self.saved_g < HALF_A_KG else round(self.total * 1000 / self.saved_g)

    @property
    def weeks_helped(self) -> int:
        """Weeks in which it saves something with every seed."""
        weeks = {each.week for each in self.trials}
        return sum(
            all(each.saved_g > 0 for each in self.trials if each.week == week) for week in weeks
        )

    @property
    def is_sure(self) -> bool:
        """Whether it places half a kg more, at least, with every seed."""
        return min(self.by_seed, default=0) >= HALF_A_KG

    @property
    def gained(self) -> tuple[tuple[str, Grams], ...]:
        """Of what is saved, each grower's prepared grams, the mean over the seeds; most first."""
        found: Counter[str] = Counter()
        for each in self.trials:
            found.update(dict(each.gained))
        often = len(self.by_seed) or 1
        ranked = sorted(found.items(), key=lambda each: (-each[1], each[0]))
        return tuple((who, Grams(round(grams / often))) for who, grams in ranked)

    @property
    def brought(self) -> int:
        """What fees of the average kilogram bring for those saved, in minor units."""
        return self.spent.brings(max(0, self.saved_g))

    @property
    def give_or_take_g(self) -> int:
        """Standard deviation between the seeds; 0 where there is one alone."""
        return round(stdev(self.by_seed)) if len(self.by_seed) > 1 else 0

    @property
    def binds(self) -> int | None:
        """The rule that costs most of what still waits; None where it is not known."""
        left: dict[int | None, int] = {}
        for each in self.trials:
            for rule, grams in each.left:
                left[rule] = left.get(rule, 0) + grams
        known = {rule: grams for rule, grams in left.items() if rule is not None}
        return max(known, key=lambda rule: known[rule]) if known else None
