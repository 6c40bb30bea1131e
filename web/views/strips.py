"""Dryer strips to scale: a run's height is the racks filled, its width the hours."""

from __future__ import annotations

from dataclasses import dataclass

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Charge, Plan, Run
from scheduler.measures import DryerUse, Measures
from scheduler.started import all_runs
from web.views.in_use import InUse, in_use
from web.views.reading import Reading
from web.views.scale import LEFT, Scale, fitting

# All in the drawing's own units, as in scale.py.
RACK_HEIGHT = 3.6
RIGHT, TOP = 150.0, 46.0
STRIP_GAP = 34.0  # below a strip: start times and air
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
    in_use: InUse


def drawing(asked: Asked, plan: Plan, measures: Measures, reading: Reading) -> Drawing:
    """All dryers of the kitchen, one strip each, under one scale of hours and racks; below them
    what else is in use, on the same hours."""
    scale = Scale(measures.period, reading)
    strips, top = [], TOP
    for use in measures.dryers:
        strip = _strip(asked, plan, use, scale, top=top)
        strips.append(strip)
        top = strip.base + STRIP_GAP
    beside = in_use(asked, plan, scale, top=top)
    return Drawing(
        width=LEFT + scale.width + RIGHT,
        height=beside.base,
        left=LEFT,
        right=LEFT + scale.width,
        top=TOP,
        lit=tuple(_lit(span, scale) for span in asked.kitchen.staffed_spans(asked.week.days)),
        strips=tuple(strips),
        in_use=beside,
    )


def _lit(span: Span, scale: Scale) -> Lit:
    reading = scale.reading
    opens, closes = (reading.local(at) for at in (span.start, span.end))
    x = scale.x(span.start)
    return Lit(x, scale.x(span.end) - x, reading.short_day(opens), f"{opens:%H}", f"{closes:%H}")


def _strip(asked: Asked, plan: Plan, use: DryerUse, scale: Scale, *, top: float) -> Strip:
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


def _hold(run: Run, scale: Scale, *, base: float) -> Hold:
    height = run.racks * RACK_HEIGHT
    x = scale.x(run.end)
    return Hold(x, base - height, scale.x(run.released) - x, height)


def _block(asked: Asked, run: Run, charge: Charge, scale: Scale, *, base: float) -> Block:
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
