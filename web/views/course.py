"""A lay-out's course, drawn: worth rises, bound falls, what lies between may still be won."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.records.jobs import Job, Step
from scheduler.units import Grams
from web.views.reading import Reading

# In the drawing's own units.
WIDTH, HEIGHT = 400.0, 210.0
LEFT, RIGHT, TOP, BASE = 4.0, 396.0, 18.0, 178.0
FOOT = 0.06  # of the spread, below the lowest line
ROWS = 12  # of the table: the last ones, where there are more


@dataclass(frozen=True, slots=True)
class Course:
    """worth, bound: points of a stepped line. between: the outline of what lies between.

    low, high: what the foot and the top of the drawing stand for; ends: seconds at its right edge.
    """

    worth: str
    bound: str
    between: str
    whiteboard_y: float
    low: str
    high: str
    ends: str
    says: str
    rows: tuple[tuple[str, str, str], ...]


def course_of(job: Job, reading: Reading) -> Course | None:
    """None before the first plan."""
    if not job.course or job.whiteboard_g is None:
        return None
    last = job.course[-1]
    now = Step(max(job.spent, last.spent), job.worth_g or last.worth_g, job.bound_g or last.bound_g)
    steps = (*job.course, now)
    until = max(now.spent, 1.0) if job.ended_at else max(job.seconds, now.spent)
    scale = _Scale.of(steps, job.whiteboard_g, until)
    worth = scale.stepped([(each.spent, each.worth_g) for each in steps])
    bound = scale.stepped([(each.spent, each.bound_g) for each in steps])
    return Course(
        worth=_points(worth),
        bound=_points(bound),
        between=_points([*worth, *reversed(bound)]),
        whiteboard_y=scale.y(job.whiteboard_g),
        low=reading.weight(Grams(round(scale.low))),
        high=reading.weight(Grams(round(scale.high))),
        ends=reading.say("%(n)s s", n=reading.number(until)),
        says=reading.say(
            "After %(n)s seconds %(worth)s has a place, at most %(bound)s could have.",
            n=reading.number(now.spent),
            worth=reading.weight(Grams(now.worth_g)),
            bound=reading.weight(Grams(now.bound_g)),
        ),
        rows=tuple(_row(each, reading) for each in job.course[-ROWS:]),
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """Seconds and grams to the drawing's units; low and high in grams."""

    low: float
    high: float
    until: float

    @classmethod
    def of(cls, steps: Sequence[Step], whiteboard_g: int, until: float) -> _Scale:
        high = max(each.bound_g for each in steps)
        low = min(whiteboard_g, *(each.worth_g for each in steps))
        return cls(max(0.0, low - FOOT * max(high - low, 1)), max(high, low + 1), until)

    def x(self, seconds: float) -> float:
        return round(LEFT + seconds / self.until * (RIGHT - LEFT), 1)

    def y(self, grams: float) -> float:
        share = (grams - self.low) / (self.high - self.low)
        return round(BASE - share * (BASE - TOP), 1)

    def stepped(self, points: Sequence[tuple[float, int]]) -> list[tuple[float, float]]:
        """What was known stays so until something better is."""
        found: list[tuple[float, float]] = []
        for seconds, grams in points:
            if found:
                found.append((self.x(seconds), found[-1][1]))
            found.append((self.x(seconds), self.y(grams)))
        return found


def _points(those: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x},{y}" for x, y in those)


def _row(step: Step, reading: Reading) -> tuple[str, str, str]:
    return (
        reading.say("%(n)s s", n=reading.number(step.spent, 1)),
        reading.weight(Grams(step.worth_g)),
        reading.weight(Grams(step.bound_g)),
    )
