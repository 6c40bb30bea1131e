"""The process card: how one crop in one cut is handled here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from scheduler.units import Grams, Racks, Seconds


@dataclass(frozen=True, slots=True)
class DryCheck:
    """What the worst sample must read to pass: upper limits, inclusive."""

    most_water_activity: float
    most_moisture_percent: float


@dataclass(frozen=True, slots=True)
class ProcessCard:
    """One crop in one cut.

    Percentages are of wet weight; rates are grams of field weight an hour.
    """

    id: str
    name: str
    cut: str
    group: str
    trim_loss_percent: float
    water_in_percent: float
    water_out_percent: float
    g_per_m2: int
    set_point_c: float
    tolerance_c: float
    drying_s: Seconds
    steam_s: Seconds  # 0 where nothing is steamed
    keeping_s: Seconds  # from arrival, in the cold store
    pair_g_per_h: Grams  # field weight that one pair cuts at a table
    takes_slicer: bool
    loose_g_per_l: int  # how loosely the cut food lies in a steam basket
    waits_outside_cold: bool
    rest_s: Seconds
    pack_within_s: Seconds  # from the end of unloading
    bag_g: Grams
    least_racks: Racks  # smallest charge of a split lot
    split_from_racks: Racks  # lots below this stay whole
    most_charges: int
    dry_check: DryCheck
    approved: bool  # the process authority's letter is at hand
    source: str  # where the figures come from: a publication, "common practice" or "demo"
    approved_until: date | None = None  # last day the letter holds; None: it has none
    gtin: str = ""  # of a bag; "" where the kitchen has none
    keeps_days: int = 0  # a bag from packing to best before, as the kitchen says; 0: not told

    def letter_holds(self, on: date) -> bool:
        """Whether the process authority's letter is at hand and in date on that day."""
        return self.approved and (self.approved_until is None or on <= self.approved_until)
