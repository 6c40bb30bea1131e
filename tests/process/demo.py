"""The demo kitchen's fees and one of its process cards, for tests."""

from scheduler.domain.kitchen import Fees
from scheduler.domain.process_card import DryCheck, ProcessCard
from scheduler.units import HOUR, Grams, Racks, Seconds

FEES = Fees(
    table_hour=1400,
    table_hour_late=1000,
    late_from_hour=15,
    steam_load=300,
    rack_hour_day=15,
    rack_hour_night=11,
    night_from_hour=19,
    night_to_hour=7,
    crate_day=50,
    bench_hour=800,
    non_member_percent=40,
    own_hour=1500,
    bag=32,
)

CARD = ProcessCard(
    id="zucchini", name="Zucchini", cut="6 mm slices", group="mild",
    trim_loss_percent=8, water_in_percent=95, water_out_percent=5, g_per_m2=3_500,
    set_point_c=57, tolerance_c=3, drying_s=Seconds(10 * HOUR), steam_s=Seconds(180),
    keeping_s=Seconds(48 * HOUR), pair_g_per_h=Grams(45_000), takes_slicer=True,
    loose_g_per_l=400, waits_outside_cold=False, rest_s=Seconds(0),
    pack_within_s=Seconds(72 * HOUR), bag_g=Grams(50), least_racks=Racks(6),
    split_from_racks=Racks(18), most_charges=3, dry_check=DryCheck(0.55, 10),
    approved=True, source="demo",
)  # fmt: skip
