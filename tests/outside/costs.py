"""The demo's table of costs, worked out again; it is asserted with the figures it must have used.

The table and the demo's own cards differ in three figures. It packs 50 bags an hour, the bench 40.
It cuts 18 kg of kale an hour, the card says 32. It dries zucchini for 8 hours, all at night; the
card says 10. With these three it comes out to the dollar, so they are named here and nothing in
the code is bent. What a raw crop would have brought is not printed: it is what the break-even
leaves over.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from scheduler.domain.clock import Span
from scheduler.process import money, reference, work
from scheduler.units import HOUR, Grams, Racks, Seconds, grams
from tests.process.demo import FEES

ZONE = ZoneInfo("America/New_York")
BAGS_PER_H = 50
CENT = 100


@dataclass(frozen=True, slots=True)
class Lot:
    """How a row of the table was made; the wall clock says when its run starts."""

    kg_per_h: int
    racks: int
    run_start: str
    drying_h: float
    steam_loads: int
    raw_cents_per_kg: int


# Racks and loads from the cards; run starts from the demo's reference plan for that week.
LOTS = {
    "tomato": Lot(40, 38, "2026-08-17T11:00", 15, 0, 70),
    "kale": Lot(18, 38, "2026-08-19T08:15", 6, 3, 90),
    "pepper": Lot(30, 19, "2026-08-18T11:00", 12, 0, 110),
    "carrot": Lot(35, 19, "2026-08-18T19:00", 11, 4, 50),
    "onion": Lot(28, 21, "2026-08-20T18:45", 10, 0, 50),
    "zucchini": Lot(45, 19, "2026-08-21T19:00", 8, 4, 50),
}


def span(start: str, length_s: Seconds) -> Span:
    begins = datetime.fromisoformat(start).replace(tzinfo=ZONE).astimezone(UTC)
    return Span(begins, begins + timedelta(seconds=length_s))


def cash_and_own(row: reference.Row, lot: Lot) -> tuple[int, int]:
    """Fees and packs, and the worth of own hours, in cents."""
    cut_s = work.seconds_for(grams(float(row["field_kg"])), grams(lot.kg_per_h))
    pack_s = work.packing_seconds(int(row["bags"]), BAGS_PER_H)
    usage = money.Usage(
        tables=(span("2026-08-17T08:00", cut_s),),
        steam_loads=lot.steam_loads,
        racks=((Racks(lot.racks), span(lot.run_start, Seconds(round(lot.drying_h * HOUR)))),),
        benches=(span("2026-08-22T08:00", pack_s),),
    )
    fees = money.total(money.fee_lines(usage, FEES, zone=ZONE))
    own = money.own_work(Seconds(2 * cut_s + pack_s), FEES)
    return fees + int(row["bags"]) * FEES.bag, own


def cost_table(row: reference.Row) -> None:
    lot, bags = LOTS[row["crop"]], int(row["bags"])
    raw = int(row["field_kg"]) * lot.raw_cents_per_kg
    cash, own = cash_and_own(row, lot)
    assert cash / CENT == pytest.approx(float(row["fees_and_packs"]), abs=1)
    assert own / CENT == pytest.approx(float(row["own_hours_worth"]), abs=1)
    price = money.break_even(cash, bags, own=own, raw_value=raw)
    assert price.with_own_hours / CENT == pytest.approx(float(row["break_even_bag"]), abs=0.02)
    assert price.without_own_hours == -(-(cash + raw) // bags)
    dried = Grams(bags * int(row["bag_g"]))  # the table's dried kg is rounded to 100 g
    per_kg = money.cost_per_kg(cash + own + raw, dried)
    assert per_kg / CENT == pytest.approx(float(row["cost_per_kg"]), abs=1)


def away_from_table(crop: str, lot: Lot) -> tuple[float, float]:
    """How many dollars a lot handled otherwise adds to a row's cash and to its own hours."""
    (row,) = (each for each in reference.rows("cost_table") if each["crop"] == crop)
    cash, own = cash_and_own(row, LOTS[crop])
    other_cash, other_own = cash_and_own(row, lot)
    return (other_cash - cash) / CENT, (other_own - own) / CENT
