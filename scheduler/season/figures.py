"""The measures of a season: each a numerator over a denominator, over one period, as defined."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scheduler.domain.clock import Span
from scheduler.season import counts
from scheduler.season.definitions import DEFINITIONS, Definition, Unit
from scheduler.season.records import Season, whole_year
from scheduler.units import HOUR

SCALE: dict[Unit, int] = {"kg": 1000, "kWh": 1000, "lots": 1, "notes": 1, "runs": 1, "bags": 1,
                          "money": 100}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Figure:
    """Whole seconds, grams, Wh, minor units or pieces, by the definition's units."""

    definition: Definition
    numerator: int
    denominator: int
    period: Span

    @property
    def share(self) -> float:
        """In shown units; 0 where there was nothing to divide by."""
        return self.shown_numerator / self.shown_denominator if self.denominator else 0.0

    @property
    def shown_numerator(self) -> float:
        return shown(self.numerator, self.definition.unit)

    @property
    def shown_denominator(self) -> float:
        return shown(self.denominator, self.definition.of)

    @property
    def is_share(self) -> bool:
        """Whether it is a percentage: both are of one unit."""
        return self.definition.unit == self.definition.of


def shown(amount: int, unit: Unit) -> float:
    """Seconds as hours, grams as kg."""
    return amount / SCALE.get(unit, HOUR)


Pair = tuple[int, int]


def figures(season: Season) -> tuple[Figure, ...]:
    """Every measure of the table of definitions, in its order. The season has a week at least."""
    pairs = {key: pair for part in _PARTS for key, pair in part(season).items()}
    year = whole_year(season)
    return tuple(
        Figure(each, *pairs[each.key], year if each.over == "year" else season.span)
        for each in DEFINITIONS
    )


def _use(season: Season) -> dict[str, Pair]:
    hours, loaded = counts.dryer_s(season), counts.loaded_s(season)
    year, kitchen = whole_year(season).seconds, season.kitchen
    return {
        "occupied": (hours, counts.dryers_open_s(season)),
        "rack_use": (loaded, counts.racks_open_s(season)),
        "fill": (loaded, counts.could_load_s(season)),
        "night": (counts.by_night_s(season), loaded),
        "occupied_year": (hours, len(kitchen.dryers) * year),
        "rack_use_year": (loaded, counts.racks(kitchen) * year),
        "down": (counts.down_s(season), counts.dryers_open_s(season)),
    }


def _work(season: Season) -> dict[str, Pair]:
    return {
        "tables": (counts.table_s(season), counts.tables_staffed_s(season)),
        "hands": (counts.duty_s(season), counts.shift_s(season)),
        "steamers": (counts.steamer_s(season), counts.steamers_staffed_s(season)),
    }


def _weights(season: Season) -> dict[str, Pair]:
    asked, refused, waited = (
        counts.asked_g(season), counts.refused_g(season), counts.waited_g(season)
    )  # fmt: skip
    field, prepared, dried, watt_h = counts.prepared_and_dried(season)
    came = sum(lot.weighed_g for _, lot in counts.lots(season))
    lost = sum(lot.discarded_g for _, lot in counts.lots(season))
    return {
        "placed": (asked - refused - waited, asked),
        "refused": (refused, asked),
        "waited": (waited, asked),
        "kg_in": (came, counts.told_g(season)),
        "prepared": (prepared, field),
        "dried": (dried, prepared),
        "water": (prepared - dried, prepared),
        "energy": (watt_h, dried),
        "discarded": (lost, dried),
    }


def _happened(season: Season) -> dict[str, Pair]:
    lots = [lot for _, lot in counts.lots(season)]
    checked = [lot for lot in lots if lot.checks]
    held = sum(lot.held for lot in checked)
    runs = [each for _, each in counts.ran(season)]
    seen = sum(each.on_record for each in runs)
    return {
        "yields": counts.bags(season),
        "hours": counts.recorded_s(season),
        "arrivals": (counts.in_time(season), len(lots)),
        "on_record": (seen, len(runs)),
        "again": (held, len(checked)),
        "first_pass": (len(checked) - held, len(checked)),
    }


_PARTS: tuple[Callable[[Season], dict[str, Pair]], ...] = (_use, _work, _weights, _happened)


def refused_by_rule(season: Season) -> dict[int | None, int]:
    """Field grams refused or left waiting, by the rule that cost them; None: not looked for.

    The heaviest first. They add up to the measures refused and waited together.
    """
    found: dict[int | None, int] = {}
    for week in season.weeks:
        rules = {each.note_id: each.rule for each in week.plan.waiting}
        for note, left, _ in counts.waiting(week):
            rule = rules.get(note.id)
            found[rule] = found.get(rule, 0) + left
    return dict(sorted(found.items(), key=lambda each: -each[1]))
