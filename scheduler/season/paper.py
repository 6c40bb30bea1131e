"""The board paper as plain values: sentences computed from the figures, and pictures as numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from scheduler.season.bars import MemberBar, RuleBar, WeekBar, member_bars, rule_bars, week_bars
from scheduler.season.figures import Figure, figures
from scheduler.season.gains import for_whom
from scheduler.season.money import Money, counted, money_of, per_kg
from scheduler.season.records import Season
from scheduler.season.summary import sentences
from scheduler.season.turns import MemberLine, Spread, in_words, members, spread
from scheduler.wording import listed

SUPPOSED = (
    "Suppose: every week laid out again with a small limit, without and with the change, from the"
    " same plan by the same steps. What a longer look would find, or growers do otherwise, is not"
    " in it. How sure: each try lays out the same weeks again, chance leading the search another"
    " way; how other seasons would be, it does not tell. Prepared: washed and trimmed."
)


@dataclass(frozen=True, slots=True)
class Option:
    """What the board might do, worded: kg saved of those that waited, what it takes to have it and
    to run it, how sure.

    without_g: prepared weight placed without it, to which saved_g comes. off_kg: standard deviation
    of the tries. question: what the board is asked to decide, of one option at most; gained:
    prepared grams more by grower, mean of the tries.
    """

    name: str
    says: str
    saved: str
    price: str
    a_kg: str
    sure: str
    binds: str
    saved_g: int
    without_g: int
    off_kg: float
    running: str = ""  # of the kg saved
    question: str = ""
    gained: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Paper:
    """Everything on the board paper of a period. options: empty where none was tried. named: else
    no shares may stand in it, nor what would give them away beside rack-hours a share."""

    season: Season
    figures: tuple[Figure, ...]
    lines: tuple[MemberLine, ...]
    spread: Spread | None
    weeks: tuple[WeekBar, ...]
    members: tuple[MemberBar, ...]
    rules: tuple[RuleBar, ...]
    money: Money
    options: tuple[Option, ...]
    summary: tuple[str, ...]
    named: bool = True
    known: tuple[str, ...] = ()  # what must be known of these records before anything else
    counted: str = ""  # what is in the options' prices, and what is not

    @property
    def asked(self) -> Option | None:
        """The option that the board is asked about."""
        return next((each for each in self.options if each.question), None)

    def figure(self, key: str) -> Figure:
        return next(each for each in self.figures if each.definition.key == key)


def paper(
    season: Season, *, options: Sequence[Option] = (), asked_of: str = "", named: bool = True
) -> Paper:
    """asked_of: the sentence that says which option the figures speak for, where any was tried.

    named: whether members stand there by their ids; else by a number, the most served first.
    """
    found, had = figures(season), members(season)
    lines = had if named else _nameless(had)
    apart = spread(lines)
    money = money_of(season, lines)
    weeks, rules = tuple(week_bars(season)), tuple(rule_bars(season))
    told = tuple(sentences(season, found, money, weeks=weeks, rules=rules))
    told = (*told, in_words(apart)) if apart else told
    asked = next((each for each in options if each.question), None)
    gains = for_whom(asked.name, asked.gained, had, named=named) if asked else ()
    return Paper(
        season=season,
        figures=found,
        lines=lines,
        spread=apart,
        weeks=weeks,
        members=tuple(member_bars(season, lines)),
        rules=rules,
        money=money,
        options=tuple(options),
        summary=(asked_of, *gains, *told) if asked_of else told,
        named=named,
        known=tuple(_known(season)),
        counted=" ".join(_counted(season, options)) if options else "",
    )


def _known(season: Season) -> Iterator[str]:
    yield from season.notes
    source = season.kitchen.source
    if season.invented and not season.notes:
        yield "An invented season, for demonstration."
    if not season.invented and source.lower().startswith("demo"):
        yield f"The kitchen is invented, for demonstration: {source}."


def _counted(season: Season, options: Sequence[Option]) -> Iterator[str]:
    yield from _binding(options)
    yield SUPPOSED
    yield counted(per_kg(season), season.kitchen.currency)


def _binding(options: Sequence[Option]) -> Iterator[str]:
    """What would be in the way next, of all options at once or of each."""
    told = {each.binds: [o.name for o in options if o.binds == each.binds] for each in options}
    for binds, names in told.items():
        if binds:
            which = "Whatever of it is done" if len(told) == 1 else f"With {listed(names).lower()}"
            yield f"{which}, what still waits is kept out most by {binds}."


def _nameless(lines: Sequence[MemberLine]) -> tuple[MemberLine, ...]:
    """By rack-hours a share, so that neither order nor number tells who it is."""
    ranked = sorted(lines, key=lambda each: -each.per_share)
    return tuple(replace(each, grower_id=str(place)) for place, each in enumerate(ranked, 1))
