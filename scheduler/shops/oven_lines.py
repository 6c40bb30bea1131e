"""Ovens by hand: the batches of an oven as a line, each as early as it may, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.shops.ovens import Batch, Job, Ovens

NEVER = 1 << 60  # the cost of a line that does not fit into its windows
State = tuple[int, int, int]  # free from, family set up, window


@dataclass(frozen=True, slots=True)
class Group:
    """Jobs that share a batch. dues: their latest ticks."""

    jobs: tuple[int, ...]
    family: int
    size: int
    earliest: int
    shortest: int
    longest: int
    dues: tuple[int, ...]

    @classmethod
    def of(cls, ovens: Ovens, jobs: Sequence[int]) -> Group:
        own = [ovens.jobs[job] for job in jobs]
        return cls(
            tuple(jobs),
            own[0].family,
            sum(job.size for job in own),
            max(job.earliest for job in own),
            max(job.shortest for job in own),
            min(job.longest for job in own),
            tuple(job.latest for job in own),
        )

    def joined(self, number: int, job: Job) -> Group:
        return Group(
            (*self.jobs, number),
            self.family,
            self.size + job.size,
            max(self.earliest, job.earliest),
            max(self.shortest, job.shortest),
            min(self.longest, job.longest),
            (*self.dues, job.latest),
        )


class Line:
    """One oven. total: weighted ticks, late jobs and set-ups of its groups in this order."""

    def __init__(self, ovens: Ovens, index: int, groups: Sequence[Group]) -> None:
        self.ovens, self.index = ovens, index
        oven = ovens.ovens[index]
        self.capacity, self.windows = oven.capacity, oven.windows
        self.first: State = (0, oven.family, 0)
        self.groups: list[Group] = []
        self.set(groups)

    def set(self, groups: Sequence[Group]) -> None:
        """The line as given, worked through once."""
        self.groups = list(groups)
        self.states, self.sums = [self.first], [0]
        state, total = self.first, 0
        for group in self.groups:
            state, total = self._after(state, total, group)
            self.states.append(state)
            self.sums.append(total)
            if total >= NEVER:
                break
        self.total = total
        self.ends = [free for free, _, _ in self.states[1:]]

    def _after(self, state: State, total: int, group: Group) -> tuple[State, int]:
        """The state and the sum after one more group."""
        free, family, window = state
        set_up = self.ovens.set_up_ticks[family][group.family]
        weights, windows = self.ovens.weights, self.windows
        while window < len(windows):
            opens, shuts = windows[window]
            start = max(group.earliest, max(free, opens) + set_up)
            end = start + group.shortest
            if end <= shuts:
                late = 0
                for due in group.dues:
                    late += due < end
                total += weights.tick * group.shortest + weights.late * late
                total += weights.set_up * self.ovens.set_up_cost[family][group.family]
                return (end, group.family, window), total
            window += 1
        return state, NEVER

    def with_instead(self, place: int, group: Group, after: int) -> int:
        """The total with a group at that place, and then the groups from index after on."""
        state, total = self._after(self.states[place], self.sums[place], group)
        for index in range(after, len(self.groups)):
            if total >= NEVER:
                return NEVER
            if state == self.states[index]:
                return total + self.total - self.sums[index]
            state, total = self._after(state, total, self.groups[index])
        return total

    def batches(self) -> Iterator[Batch]:
        for group, (end, _, _) in zip(self.groups, self.states[1:], strict=True):
            yield Batch(self.index, end - group.shortest, group.shortest, group.jobs)
