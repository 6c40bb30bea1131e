"""What is drawn below the dryer strips on the same hours: steamers, tables, hands and power."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from scheduler.domain.asked import Asked
from scheduler.domain.clock import Span
from scheduler.domain.plan import Plan
from scheduler.in_use import (
    StationUse,
    Step,
    hands_at_work,
    hands_on_shift,
    power_drawn,
    stations_in_use,
)
from scheduler.units import HOUR
from web.views.reading import N_, Reading
from web.views.scale import LETTER_WIDTH, Scale

ROW, ROW_GAP = 13.0, 7.0  # in the drawing's own units
LEVEL, LEVEL_GAP = 34.0, 12.0
KINDS = {"steamer": N_("steamer"), "table": N_("table")}


@dataclass(frozen=True, slots=True)
class UseBlock:
    """A charge at a station. code is "" where there is no room for it."""

    x: float
    width: float
    hatch: str
    code: str
    says: str


@dataclass(frozen=True, slots=True)
class UseRow:
    """One steamer or table between top and base; fraction: "12.5 of 66 h"."""

    id: str
    name: str
    top: float
    base: float
    blocks: tuple[UseBlock, ...]
    fraction: str


@dataclass(frozen=True, slots=True)
class LevelRow:
    """Hands or power: an area to scale below what there is, both as paths of an SVG drawing."""

    name: str
    top: float
    base: float
    area: str
    most: str
    fraction: str
    told: str


@dataclass(frozen=True, slots=True)
class InUseLine:
    """The same in words: a day, what, and the times, or the most of it within a day and night."""

    day: str
    what: str
    told: str


@dataclass(frozen=True, slots=True)
class InUse:
    """Rows are empty where the plan leaves out what happens before and after the dryers."""

    base: float
    rows: tuple[UseRow, ...]
    levels: tuple[LevelRow, ...]
    lines: tuple[InUseLine, ...]


def in_use(asked: Asked, plan: Plan, scale: Scale, *, top: float) -> InUse:
    """Below the dryers, from top on."""
    stations, levels = _found(asked, plan, scale)
    rows = []
    for station in stations:
        rows.append(_row(asked, station, scale, top=top))
        top += ROW + ROW_GAP
    top += LEVEL_GAP if rows else 0
    drawn = []
    for level in levels:
        drawn.append(level.drawn(scale, top=top))
        top += LEVEL + LEVEL_GAP
    return InUse(
        base=top,
        rows=tuple(rows),
        levels=tuple(drawn),
        lines=tuple(_lines(asked, stations, levels, scale.reading)),
    )


@dataclass(frozen=True, slots=True)
class _Level:
    """used: steps of what is used; there: of what there is; per: so many make one as it is told."""

    name: str
    used: tuple[Step, ...]
    there: tuple[Step, ...]
    per: int
    unit: str
    told: str

    @property
    def top(self) -> float:
        return max((step.amount for step in self.there), default=1)

    def drawn(self, scale: Scale, *, top: float) -> LevelRow:
        base = top + LEVEL
        return LevelRow(
            name=self.name,
            top=top,
            base=base,
            area=_path(self.used, scale, base=base, unit=LEVEL / self.top),
            most=_path(self.there, scale, base=base, unit=LEVEL / self.top),
            fraction=self.most_of(self.used, scale.reading),
            told=self.told,
        )

    def most_of(self, steps: Sequence[Step], reading: Reading) -> str:
        """ "31.5 of 36 kW at most"."""
        most = max((step.amount for step in steps), default=0) / self.per
        numbers = reading.number(most, 1), reading.number(self.top / self.per, 1)
        part, every = numbers
        return reading.say("at most %(part)s of %(all)s %(unit)s", part=part, all=every,
                           unit=self.unit)  # fmt: skip


def _found(
    asked: Asked, plan: Plan, scale: Scale
) -> tuple[tuple[StationUse, ...], tuple[_Level, ...]]:
    say, supply = scale.reading.say, asked.kitchen.limits.supply_watts
    power = _Level(say("power"), power_drawn(asked, plan), (Step(scale.period, supply),), 1000,
                   "kW", say("kW by quarter-hours, against the supply"))  # fmt: skip
    if all(charge.preparation is None for _, charge in plan.charges()):
        return (), (power,)
    hands = _Level(say("hands"), hands_at_work(asked, plan), hands_on_shift(asked), 1,
                   say("hands"), say("kitchen hands at work, of those on shift"))  # fmt: skip
    return stations_in_use(asked, plan), (hands, power)


def _row(asked: Asked, station: StationUse, scale: Scale, *, top: float) -> UseRow:
    reading = scale.reading
    staffed = sum(span.seconds for span in asked.kitchen.staffed_spans(asked.week.days))
    used = sum(use.seconds for use in station.uses)
    blocks = []
    for use in station.uses:
        card = asked.card(asked.note(use.note_id).card_id)
        x = scale.x(use.span.start)
        width = scale.x(use.span.end) - x
        blocks.append(
            UseBlock(
                x=x,
                width=round(width, 2),
                hatch=asked.kitchen.group(card.group).hatch,
                code=use.code if len(use.code) * LETTER_WIDTH < width else "",
                says=f"{use.code} {card.name}: {reading.span(use.span.start, use.span.end)}",
            )
        )
    hours = (reading.number(each / HOUR, 1) for each in (used, staffed))
    part, every = hours
    return UseRow(
        id=station.station_id,
        name=reading.say(KINDS[station.kind]),
        top=top,
        base=top + ROW,
        blocks=tuple(blocks),
        fraction=reading.say("%(part)s of %(all)s h", part=part, all=every),
    )


def _path(steps: Sequence[Step], scale: Scale, *, base: float, unit: float) -> str:
    """A closed outline over each stretch of steps that follow each other."""
    parts: list[str] = []
    last: Step | None = None
    for step in steps:
        if step.span.start >= scale.period.end or step.span.end <= scale.period.start:
            continue
        height = f"V{round(base - step.amount * unit, 2):g}H{scale.x(step.span.end):g}"
        if last is None or step.span.start > last.span.end:
            parts.append(f"{f'V{base:g}' if parts else ''}M{scale.x(step.span.start):g} {base:g}")
        elif parts and last.amount == step.amount:
            height = f"H{scale.x(step.span.end):g}"
        parts.append(height)
        last = step
    return "".join(parts) + (f"V{base:g}" if parts else "")


def _lines(
    asked: Asked, stations: Sequence[StationUse], levels: Sequence[_Level], reading: Reading
) -> Iterator[InUseLine]:
    for day in asked.kitchen.staffed_spans(asked.week.days):
        named = reading.day(day.start)
        until_next = Span(day.start, day.start + timedelta(days=1))
        for station in stations:
            uses = [use for use in station.uses if use.span.overlaps(day)]
            if uses:
                told = (f"{use.code} {_times(use.span, reading)}" for use in uses)
                yield InUseLine(named, station.station_id, "; ".join(told))
        for level in levels:
            inside = [step for step in level.used if step.span.overlaps(until_next)]
            yield InUseLine(named, level.name, level.most_of(inside, reading))


def _times(span: Span, reading: Reading) -> str:
    start, end = reading.clock(span.start), reading.clock(span.end)
    return reading.say("%(start)s to %(end)s", start=start, end=end)
