"""How many months dried food keeps in a room; a crop's own figures outrank the general ones."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from scheduler.process import reference
from scheduler.units import celsius


@dataclass(frozen=True, slots=True)
class Months:
    """How long dried food keeps at one room temperature: fewest and most months."""

    celsius: float
    fewest: float
    most: float


# Dried vegetables in general: about six months at 60 F and four at 80 F. Common practice.
GENERAL = (Months(celsius(60), 6, 6), Months(celsius(80), 4, 4))

# Names on this kitchen's cards that the chart of crops has in a longer form.
CHART_NAMES = {
    "bean": "green_bean",
    "pepper": "sweet_pepper",
    "zucchini": "zucchini_summer_squash",
}


def figures_for(crop: str) -> tuple[Months, ...]:
    """A crop's own figures from the coolest room up, or the general ones where it has none.

    Source: chart crediting University of Minnesota Extension, in reference/crops.csv.
    """
    name = CHART_NAMES.get(crop, crop)
    for row in reference.rows("crops"):
        if row["crop"] == name and row["dried_life_months_60F"]:
            return tuple(
                Months(celsius(degrees), *reference.bounds(row[f"dried_life_months_{degrees}F"]))
                for degrees in (60, 70)
            )
    return GENERAL


def months_at(room_c: float, figures: tuple[Months, ...] = GENERAL) -> Months:
    """Months at a room temperature, on a straight line through two or more figures.

    A room cooler than the coolest figure is promised no more than that; one warmer than the warmest
    follows the line down to nought, which reads: weeks at most. Source: our own reading.
    """
    room = max(room_c, figures[0].celsius)
    cooler, warmer = next(
        (pair for pair in pairwise(figures) if room <= pair[1].celsius), figures[-2:]
    )
    way = (room - cooler.celsius) / (warmer.celsius - cooler.celsius)
    fewest = cooler.fewest + way * (warmer.fewest - cooler.fewest)
    most = cooler.most + way * (warmer.most - cooler.most)
    return Months(room_c, max(0.0, fewest), max(0.0, most))
