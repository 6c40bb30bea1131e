"""The cards, growers and notes of the good week, and their small kitchen. All figures are demo."""

from __future__ import annotations

from scheduler.domain.asked import Asked
from scheduler.units import Grams
from tests.builders import WEEK, at, card, grower, hours, kitchen, minutes, note, weekly

CARDS = (
    card("tomato", rest_s=hours(24)),
    card(
        "onion",
        group="strong",
        trim_loss_percent=12.0,
        water_in_percent=89.0,
        water_out_percent=5.0,
        g_per_m2=3900,
        set_point_c=60.0,
        drying_s=hours(10),
        pair_g_per_h=Grams(28_000),
        waits_outside_cold=True,
    ),
    card(
        "mushroom",
        trim_loss_percent=8.0,
        water_in_percent=90.0,
        water_out_percent=6.0,
        g_per_m2=3000,
        set_point_c=50.0,
        drying_s=hours(8),
        pair_g_per_h=Grams(25_000),
        takes_slicer=False,
        rest_s=hours(24),
        bag_g=Grams(50),
    ),
    card(
        "bean",
        trim_loss_percent=10.0,
        water_in_percent=90.0,
        water_out_percent=6.0,
        g_per_m2=4000,
        set_point_c=60.0,
        drying_s=hours(11),
        steam_s=minutes(5),
        pair_g_per_h=Grams(30_000),
        takes_slicer=False,
    ),
    card(
        "carrot",
        trim_loss_percent=18.0,
        water_in_percent=88.0,
        water_out_percent=6.0,
        g_per_m2=4000,
        set_point_c=60.0,
        drying_s=hours(11),
        steam_s=minutes(4),
        pair_g_per_h=Grams(35_000),
        waits_outside_cold=True,
    ),
    card(
        "pepper",
        group="sweet",
        trim_loss_percent=18.0,
        water_in_percent=92.0,
        water_out_percent=7.0,
        g_per_m2=4500,
        drying_s=hours(12),
        pair_g_per_h=Grams(30_000),
    ),
)
GROWERS = (
    grower("G1", cannot=weekly("Sat", "00:00", "00:00")),
    grower("G2"),
    grower("G3", cannot=weekly("Wed", "13:00", "19:00")),
    grower("G4"),
    grower("G5", people=1),
)
NOTES = (
    note("N1", "G2", "onion", 30_000),
    note("N2", "G1", "tomato", 60_000, arrives=at("Mon 08:00"), latest_start=at("Tue 20:00")),
    note("N3", "G5", "mushroom", 20_000, arrives=at("Tue 07:30")),
    note("N4", "G3", "bean", 30_000, arrives=at("Tue 08:00")),
    note("N5", "G4", "carrot", 24_000, arrives=at("Wed 11:00")),
    note("N6", "G2", "pepper", 20_000, arrives=at("Fri 11:00")),
    note("N7", "G5", "mushroom", 10_000, arrives=at("Sat 12:00")),
)


def good_asked() -> Asked:
    return Asked("small", "A small week", kitchen(), WEEK, CARDS, GROWERS, NOTES)
