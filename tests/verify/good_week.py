"""A small week made by hand that keeps every rule: what the twins break, one thing at a time.

Monday    D1 onion (strong, washed down after), D2 tomato A (two tables, over night into cool hold)
Tuesday   D2 mushroom (a lone grower, by day), D1 bean (steamed) with tomato B (over night)
Wednesday D1 carrot (two steamers, over night)
Friday    D2 pepper (over night; checked and packed on the Monday after)
"""

from __future__ import annotations

from scheduler.domain.plan import (
    GROWER,
    HANDS,
    AfterDryer,
    Charge,
    Duty,
    Plan,
    Preparation,
    Proof,
    Run,
    TablePlace,
    Waiting,
)
from scheduler.units import Grams, Racks
from tests.builders import WEEK, at, span, steam_load


def _onion() -> Run:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Mon 07:00", "07:15"),  # 30 kg at 120 kg/h: 15 min
        cut=span("Mon 07:15", "08:00"),  # 30 kg at 28 x 1.5 kg/h: 42.9 min
        tables=(TablePlace("T1", GROWER),),
        steam_loads=(),
        last_rack=at("Mon 08:10"),
    )
    # 26.4 kg x 11 % / 95 % = 3.06 kg dried, 30 bags at 40 an hour: 45 min
    after = AfterDryer(span("Tue 07:35", "07:50"), "P1", span("Tue 13:00", "13:45"), 30)
    # 26.4 kg on racks of 2.34 kg: 12
    charge = Charge("N1", "", Racks(12), 1, Grams(30_000), Grams(26_400), before, after)
    return Run(
        id="D1 Mon",
        dryer_id="D1",
        set_point_c=60.0,
        start=at("Mon 08:10"),
        end=at("Mon 18:10"),
        released=at("Mon 18:10"),
        unload=span("Mon 18:10", "18:40"),
        wash_down=span("Tue 07:00", "08:00"),
        charges=(charge,),
    )


def _tomato_a() -> Run:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Mon 08:00", "08:20"),  # 37.894 kg: 18.9 min
        cut=span("Mon 08:30", "08:55"),  # at 40 x 1.5 + 40 kg/h: 22.7 min
        tables=(TablePlace("T1", HANDS), TablePlace("T2", GROWER)),
        steam_loads=(),
        last_rack=at("Mon 09:05"),
    )
    # 35.621 kg x 6 % / 92 % = 2.32 kg dried, 23 bags: 34.5 min
    after = AfterDryer(span("Tue 08:30", "08:45"), "P1", span("Wed 09:00", "09:35"), 23)
    # the lot's 56.4 kg need 19 racks of 3 kg; 12 of them hold 12/19
    charge = Charge("N2", "A", Racks(12), 1, Grams(37_894), Grams(35_621), before, after)
    return Run(
        id="D2 Mon",
        dryer_id="D2",
        set_point_c=57.0,
        start=at("Mon 09:05"),
        end=at("Tue 00:05"),
        released=at("Tue 07:00"),
        unload=span("Tue 07:00", "07:30"),
        wash_down=None,
        charges=(charge,),
    )


def _mushroom() -> Run:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Tue 07:30", "07:40"),  # 20 kg: 10 min
        cut=span("Tue 07:45", "08:35"),  # at 25 kg/h: 48 min
        tables=(TablePlace("T3", GROWER),),
        steam_loads=(),
        last_rack=at("Tue 08:45"),
    )
    # 18.4 kg x 10 % / 94 % = 1.96 kg dried, 39 bags of 50 g: 58.5 min
    after = AfterDryer(span("Tue 18:00", "18:15"), "P1", span("Thu 09:00", "10:00"), 39)
    # 18.4 kg on racks of 1.8 kg: 11
    charge = Charge("N3", "", Racks(11), 1, Grams(20_000), Grams(18_400), before, after)
    return Run(
        id="D2 Tue",
        dryer_id="D2",
        set_point_c=50.0,
        start=at("Tue 08:45"),
        end=at("Tue 16:45"),
        released=at("Tue 16:45"),
        unload=span("Tue 16:45", "17:15"),
        wash_down=None,
        charges=(charge,),
    )


def _bean() -> Charge:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Tue 08:00", "08:15"),  # 30 kg: 15 min
        cut=span("Tue 09:30", "10:30"),  # at 30 kg/h: 60 min; baskets 09:50, 10:10, 10:30
        tables=(TablePlace("T3", GROWER),),
        steam_loads=(
            steam_load("S1", "Tue 10:05", steam=5, grams=9000, chilled="Tue 10:36"),
            steam_load("S1", "Tue 10:16", steam=5, grams=9000, chilled="Tue 10:47"),
            steam_load("S1", "Tue 10:30", steam=5, grams=9000, chilled="Tue 11:01"),
        ),
        last_rack=at("Tue 11:11"),
    )
    # 27 kg x 10 % / 94 % = 2.87 kg dried, 28 bags: 42 min
    after = AfterDryer(span("Wed 08:15", "08:30"), "P1", span("Wed 10:00", "10:45"), 28)
    # 27 kg on racks of 2.4 kg: 12
    return Charge("N4", "", Racks(12), 8, Grams(30_000), Grams(27_000), before, after)


def _tomato_b() -> Charge:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Tue 08:30", "08:45"),  # 22.106 kg: 11.1 min
        cut=span("Tue 10:00", "10:25"),  # at 40 x 1.5 kg/h: 22.1 min
        tables=(TablePlace("T1", GROWER),),
        steam_loads=(),
        last_rack=at("Tue 10:35"),
    )
    # 20.779 kg x 6 % / 92 % = 1.36 kg dried, 13 bags: 19.5 min
    after = AfterDryer(span("Wed 08:30", "08:45"), "P1", span("Thu 08:00", "08:20"), 13)
    return Charge("N2", "B", Racks(7), 1, Grams(22_106), Grams(20_779), before, after)


def _bean_and_tomato_b() -> Run:
    return Run(
        id="D1 Tue",
        dryer_id="D1",
        set_point_c=58.5,  # within 3 C of 57 and of 60
        start=at("Tue 12:00"),
        end=at("Wed 03:00"),
        released=at("Wed 07:00"),
        unload=span("Wed 07:00", "07:30"),
        wash_down=None,
        charges=(_bean(), _tomato_b()),
    )


def _carrot() -> Run:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Wed 12:00", "12:15"),  # 24 kg: 12 min
        cut=span("Wed 12:30", "13:00"),  # at 35 x 1.5 kg/h: 27.4 min; baskets 12:40, 12:50, 13:00
        tables=(TablePlace("T1", GROWER),),
        steam_loads=(
            steam_load("S1", "Wed 12:40", steam=4, grams=6560, chilled="Wed 13:10"),
            steam_load("S2", "Wed 12:50", steam=4, grams=6560, chilled="Wed 13:20"),
            steam_load("S1", "Wed 13:00", steam=4, grams=6560, chilled="Wed 13:30"),
        ),
        last_rack=at("Wed 13:40"),
    )
    # 19.68 kg x 12 % / 94 % = 2.51 kg dried, 25 bags: 37.5 min
    after = AfterDryer(span("Thu 08:15", "08:30"), "P1", span("Thu 10:30", "11:10"), 25)
    # 19.68 kg on racks of 2.4 kg: 9
    charge = Charge("N5", "", Racks(9), 1, Grams(24_000), Grams(19_680), before, after)
    return Run(
        id="D1 Wed",
        dryer_id="D1",
        set_point_c=60.0,
        start=at("Wed 13:45"),
        end=at("Thu 00:45"),
        released=at("Thu 07:00"),
        unload=span("Thu 07:00", "07:30"),
        wash_down=None,
        charges=(charge,),
    )


def _pepper() -> Run:
    before = Preparation(
        wash_line_id="W1",
        wash=span("Fri 11:00", "11:10"),  # 20 kg: 10 min
        cut=span("Fri 11:15", "11:45"),  # at 30 x 1.5 kg/h: 26.7 min
        tables=(TablePlace("T1", GROWER),),
        steam_loads=(),
        last_rack=at("Fri 11:55"),
    )
    # 16.4 kg x 8 % / 93 % = 1.41 kg dried, 14 bags: 21 min
    after = AfterDryer(span("Next 08:00", "08:15"), "P1", span("Next 09:00", "09:25"), 14)
    # 16.4 kg on racks of 2.7 kg: 7
    charge = Charge("N6", "", Racks(7), 1, Grams(20_000), Grams(16_400), before, after)
    return Run(
        id="D2 Fri",
        dryer_id="D2",
        set_point_c=57.0,
        start=at("Fri 12:00"),
        end=at("Sat 00:00"),
        released=at("Sat 07:00"),
        unload=span("Sat 07:00", "07:30"),
        wash_down=None,
        charges=(charge,),
    )


DUTIES = (
    Duty("Lotte", "cut", "T1", "N2 A", span("Mon 08:30", "08:55")),
    Duty("Jun", "cut", "T1", "N2 A", span("Mon 08:30", "08:55")),
    Duty("Jun", "unload", "D1", "D1 Mon", span("Mon 18:10", "18:40")),
    Duty("Jun", "wash-down", "D1", "D1 Mon", span("Tue 07:00", "08:00")),
    Duty("Lotte", "unload", "D2", "D2 Mon", span("Tue 07:00", "07:30")),
    Duty("Lotte", "dry check", "", "N1", span("Tue 07:35", "07:50")),
    Duty("Sal", "help", "T3", "N3", span("Tue 07:30", "08:35")),
    Duty("Lotte", "dry check", "", "N2 A", span("Tue 08:30", "08:45")),
    Duty("Jun", "steam", "S1", "N4", span("Tue 10:05", "10:30")),
    Duty("G3", "steam", "S1", "N4", span("Tue 10:30", "10:41")),
    Duty("Jun", "unload", "D2", "D2 Tue", span("Tue 16:45", "17:15")),
    Duty("Jun", "dry check", "", "N3", span("Tue 18:00", "18:15")),
    Duty("Lotte", "unload", "D1", "D1 Tue", span("Wed 07:00", "07:30")),
    Duty("Lotte", "dry check", "", "N4", span("Wed 08:15", "08:30")),
    Duty("Lotte", "dry check", "", "N2 B", span("Wed 08:30", "08:45")),
    Duty("Jun", "steam", "S1", "N5", span("Wed 12:35", "13:10")),
    Duty("Sal", "steam", "S2", "N5", span("Wed 12:50", "13:00")),
    Duty("Sal", "unload", "D1", "D1 Wed", span("Thu 07:00", "07:30")),
    Duty("Sal", "dry check", "", "N5", span("Thu 08:15", "08:30")),
    Duty("Jun", "unload", "D2", "D2 Fri", span("Sat 07:00", "07:30")),
    Duty("Jun", "dry check", "", "N6", span("Next 08:00", "08:15")),
)


def good_plan() -> Plan:
    return Plan(
        week=WEEK,
        rules="full",
        runs=(_onion(), _tomato_a(), _mushroom(), _bean_and_tomato_b(), _carrot(), _pepper()),
        duties=DUTIES,
        waiting=(Waiting("N7", Grams(10_000), Grams(9200), 3, "arrives too late in the week"),),
        proof=Proof(worth_g=Grams(164_280), bound_g=Grams(170_000), whiteboard_g=Grams(150_000)),
    )
