"""What is promised before a lay-out (rule 18): the posted plan of its week, what others took."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan


@dataclass(frozen=True, slots=True)
class Taken:
    """A hand (by name), a grower or a station (by id), taken for a span by another plan."""

    who: str
    span: Span
    work: str  # what for, as people read it


@dataclass(frozen=True, slots=True)
class Promised:
    """firm: the notes whose turns in the posted plan are firm; what else it plans is pencilled.

    taken: by plans of the weeks before and after, on the Monday they share with this one, and by
    what is under way.
    """

    plan: Plan | None = None
    firm: frozenset[str] = frozenset()
    taken: tuple[Taken, ...] = ()

    def spans_of(self, who: str) -> Iterator[Span]:
        """When that hand, grower or station is taken."""
        return (each.span for each in self.taken if each.who == who)
