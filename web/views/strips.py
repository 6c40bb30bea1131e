"""Dryer strips to scale: a run's height is the racks filled, its width the hours."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.measures import DryerUse, Measures
from scheduler.started import all_runs
from scheduler.units import HOUR
from web.views.reading import Reading

# All in the drawing's own units; the drawing as a whole is stretched to the page.
HOUR_WIDTH = 9.0
RACK_HEIGHT = 3.6
LEFT, RIGHT, TOP = 122.0, 150.0, 46.0
STRIP_GAP = 34.0  # below a strip: start times and air
LETTER_WIDTH = 7.2
TWO_LINES = 34.0
INSET = 8.0


@dataclass(frozen=True, slots=True)
class Block:
    """One charge in a run. crop is "" where there is no room for it."""

    x: float
    y: float
    width: float
    height: float
    hatch: str
    code: str
    crop: str
    says: str  # the whole of it, for whoever points at it


@dataclass(frozen=True, slots=True)
class Hold:
    """Cool hold after a run, as tall as the run."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class StartTime:
    x: float
    text: str


@dataclass(frozen=True, slots=True)
class Strip:
    """One dryer's week between top and base; fraction is "1,550 of 2,520"."""

    dryer_id: str
    name: str
    top: float
    base: float
    blocks: tuple[Block, ...]
    holds: tuple[Hold, ...]
    starts: tuple[StartTime, ...]
    fraction: str
    share: str


@dataclass(frozen=True, slots=True)
class Lit:
    """One staffed stretch, its day and hours."""

    x: float
    width: float
    day: str
    opens: str
    closes: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """The whole picture and its size."""

    width: float
    height: float
    left: float
    right: float
    top: float
    lit: tuple[Lit, ...]
    strips: tuple[Strip, ...]


def drawing(asked: Asked, plan: Plan, measures: Measures, reading: Reading) -> Drawing:
    """All dryers of the kitchen, one strip each, under one scale of hours and racks."""
    scale = _Scale(measures.period, reading)
    strips, top = [], TOP
    for use in measures.dryers:
        strip = _strip(asked, plan, use, scale, top=top)
        strips.append(strip)
        top = strip.base + STRIP_GAP
    return Drawing(
        width=LEFT + scale.width + RIGHT,
        height=top - STRIP_GAP / 2,
        left=LEFT,
        right=LEFT + scale.width,
        top=TOP,
        lit=tuple(_lit(span, scale) for span in asked.kitchen.staffed_spans(asked.week.days)),
        strips=tuple(strips),
    )


class _Scale:
    """Instants of the week to the drawing's x; what lies outside the period ends at its edge.

    reading: how what stands beside it is worded.
    """

    def __init__(self, period: Span, reading: Reading) -> None:
        self.period = period
        self.reading = reading
        self.width = period.seconds / HOUR * HOUR_WIDTH

    def x(self, at: datetime) -> float:
        inside = min(max(at, self.period.start), self.period.end)
        return round(LEFT + (inside - self.period.start).total_seconds() / HOUR * HOUR_WIDTH, 2)


def _lit(span: Span, scale: _Scale) -> Lit:
    reading = scale.reading
    opens, closes = (reading.local(at) for at in (span.start, span.end))
    x = scale.x(span.start)
    return Lit(x, scale.x(span.end) - x, reading.short_day(opens), f"{opens:%H}", f"{closes:%H}")


def _strip(asked: Asked, plan: Plan, use: DryerUse, scale: _Scale, *, top: float) -> Strip:
    reading = scale.reading
    dryer = asked.kitchen.dryer(use.dryer_id)
    base = top + dryer.racks * RACK_HEIGHT
    runs = [run for run in all_runs(asked, plan) if run.dryer_id == dryer.id]
    blocks = (_block(asked, run, each, scale, base=base) for run in runs for each in run.charges)
    holds = (_hold(run, scale, base=base) for run in runs if run.released > run.end)
    starts = (StartTime(scale.x(run.start), reading.clock(run.start)) for run in runs)
    return Strip(
        dryer_id=dryer.id,
        name=dryer.name.removesuffix(" dryer"),
        top=top,
        base=base,
        blocks=tuple(blocks),
        holds=tuple(holds),
        starts=tuple(starts),
        fraction=reading.say(
            "%(part)s of %(all)s",
            part=reading.number(use.rack_use.numerator),
            all=reading.number(use.rack_use.denominator),
        ),
        share=reading.percent(use.rack_use.share),
    )


def _hold(run: Run, scale: _Scale, *, base: float) -> Hold:
    height = run.racks * RACK_HEIGHT
    x = scale.x(run.end)
    return Hold(x, base - height, scale.x(run.released) - x, height)


def _block(asked: Asked, run: Run, charge: Charge, scale: _Scale, *, base: float) -> Block:
    """Racks are counted from the base up, as they lie in the dryer."""
    card = asked.card(asked.note(charge.note_id).card_id)
    height = charge.racks * RACK_HEIGHT
    x = scale.x(run.start)
    width = scale.x(run.end) - x
    return Block(
        x=x,
        y=base - (charge.first_rack - 1) * RACK_HEIGHT - height,
        width=width,
        height=height,
        hatch=asked.kitchen.group(card.group).hatch,
        code=charge.code,
        crop=fitting(card.name, width - INSET) if height >= TWO_LINES else "",
        says=scale.reading.say(
            "%(lot)s, %(racks)s racks in %(dryer)s",
            lot=f"{charge.code} {card.name}",
            racks=charge.racks,
            dryer=run.dryer_id,
        ),
    )


def fitting(name: str, width: float) -> str:
    """The name if it has room, else its last word, else as much of that as fits."""
    room = int(width / LETTER_WIDTH)
    if len(name) <= room:
        return name
    last = name.rsplit(maxsplit=1)[-1]
    return last if len(last) <= room else f"{last[: max(0, room - 1)]}."
