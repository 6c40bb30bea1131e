"""Pictures of bars as plain shapes, for a template to draw; all ink stands on the shapes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

INK, TINT, RUST, RULE, FAINT, PAPER = (
    "#1c1a15", "#d8cfb8", "#9c3a12", "#c9c0aa", "#5a5445", "#ffffff"
)  # fmt: skip
WIDEST = 60.0  # a column and the room beside it
LETTERS = 10.0  # how large
NAME, WIDE = 3.0, 0.62  # room for the name of a column, and for a letter, of how large letters are
ROW = 17.0  # height of a row of bars, in the drawing's own units
UP, DOWN = 58.0, 30.0  # how high and how deep columns reach


@dataclass(frozen=True, slots=True)
class Box:
    """A bar: filled, and outlined in ink."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    stroke: str = INK


@dataclass(frozen=True, slots=True)
class Word:
    """Letters whose foot stands at y. anchor: start, middle or end."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    fill: str = INK


@dataclass(frozen=True, slots=True)
class Rule:
    """A thin line; dashed where it is only to compare with."""

    x1: float
    y1: float
    x2: float
    y2: float
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """label: what a screen reader says of it; the same figures stand in a table."""

    label: str
    width: float
    height: float
    boxes: tuple[Box, ...]
    words: tuple[Word, ...]
    rules: tuple[Rule, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """A row of a drawing of rows: bars from the left on top of each other, and words behind."""

    name: str
    bars: tuple[tuple[float, str], ...]  # how long, of what the drawing's whole is; and its fill
    told: str


def lying(
    label: str, lines: Sequence[Line], *, width: float, left: float, mark: float | None = None
) -> Drawing:
    """Rows of bars that lie. left: room for names; mark: where a dashed line is drawn."""
    right = 76.0
    room = width - left - right
    boxes, words = [], []
    for place, line in enumerate(lines):
        top = place * ROW
        words.append(Word(left - 5, top + 11.5, line.name, "end"))
        tall = (ROW - 5) / max(1, len(line.bars))
        for at, (length, fill) in enumerate(line.bars):
            boxes.append(Box(left, top + 2.5 + at * tall, max(0.0, length) * room, tall, fill))
        longest = max([mark or 0, *(length for length, _ in line.bars)])
        words.append(Word(left + longest * room + 4, top + 11.5, line.told))
    height = len(lines) * ROW
    rules = [Rule(left, 0, left, height)]
    if mark is not None:
        rules.append(Rule(left + mark * room, 0, left + mark * room, height, dashed=True))
    return Drawing(label, width, max(height, ROW), tuple(boxes), tuple(words), tuple(rules))


@dataclass(frozen=True, slots=True)
class Column:
    """A column up from the line, of the room there is: the part that is filled, and the whole; and
    one down from it."""

    name: str
    filled: float
    whole: float
    below: float


def standing(
    label: str,
    columns: Sequence[Column],
    *,
    width: float,
    tops: tuple[str, str],
    letters: float = LETTERS,
) -> Drawing:
    """Columns over and under a line, as many of them named as there is room for names. tops: what
    the longest up and down stand for; letters: how large they are shown."""
    left, right = 6 + letters * WIDE * max(map(len, tops)), letters * NAME / 4
    base, step = UP + 6, min(WIDEST, (width - left - right) / max(1, len(columns)))
    every = ceil(letters * NAME / step)
    boxes: list[Box] = []
    words = [
        Word(left - 5, 14, tops[0], "end", FAINT),
        Word(left - 5, base + DOWN, tops[1], "end", FAINT),
    ]
    for place, each in enumerate(columns):
        x, wide = left + place * step + step * 0.14, step * 0.72
        boxes += _column(each, x, wide, base=base)
        if place % every == 0:
            words.append(Word(x + wide / 2, base + DOWN + 16, each.name, "middle", FAINT))
    rules = (Rule(left, base, width, base),)
    return Drawing(label, width, base + DOWN + 20, tuple(boxes), tuple(words), rules)


def _column(each: Column, x: float, wide: float, *, base: float) -> Iterable[Box]:
    yield Box(x, base - each.whole * UP, wide, each.whole * UP, PAPER, RULE)
    yield Box(x, base - each.filled * UP, wide, each.filled * UP, INK)
    if each.below:
        yield Box(x, base, wide, each.below * DOWN, RUST, RUST)
