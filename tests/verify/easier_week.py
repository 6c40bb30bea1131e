"""The good week's notes under the easier rules: only the dryers, one lot in two equal parts."""

from __future__ import annotations

from scheduler.domain.plan import Charge, Plan, Proof, Run, Waiting
from scheduler.units import Grams, Racks
from tests.builders import WEEK, at


def _run(dryer_id: str, heat: float, times: tuple[str, str, str], *charges: Charge) -> Run:
    start, end, released = (at(time) for time in times)
    name = f"{dryer_id} {times[0]}"
    return Run(name, dryer_id, heat, start, end, released, None, None, charges)


def _charge(note_id: str, letter: str, racks: int, field_g: int, prepared_g: int) -> Charge:
    return Charge(note_id, letter, Racks(racks), 1, Grams(field_g), Grams(prepared_g))


# Ready: arrival + field weight / pair rate, + 30 min if steamed.
ONION = _run(  # 07:00 + 30 / 28 h = 08:04:18
    "D1", 60.0, ("Mon 08:05", "Mon 18:05", "Mon 18:05"), _charge("N1", "", 12, 30_000, 26_400)
)
TOMATO_A = _run(  # 08:00 + 60 / 40 h = 09:30; 28.2 kg on racks of 3 kg: 10
    "D2", 57.0, ("Mon 09:30", "Tue 00:30", "Tue 07:00"), _charge("N2", "A", 10, 30_000, 28_200)
)
TOMATO_B = _run(  # into cool hold for exactly eight hours
    "D1", 57.0, ("Tue 08:00", "Tue 23:00", "Wed 07:00"), _charge("N2", "B", 10, 30_000, 28_200)
)
BEAN = _run(  # Tue 08:00 + 1 h + 30 min = 09:30
    "D2", 60.0, ("Tue 12:00", "Tue 23:00", "Wed 07:00"), _charge("N4", "", 12, 30_000, 27_000)
)
CARROT = _run(  # Wed 11:00 + 24 / 35 h + 30 min = 12:11:09
    "D1", 60.0, ("Wed 12:15", "Wed 23:15", "Thu 07:00"), _charge("N5", "", 9, 24_000, 19_680)
)
MUSHROOM = _run(  # ends at closing time, and is released then
    "D2", 50.0, ("Thu 11:00", "Thu 19:00", "Thu 19:00"), _charge("N3", "", 11, 20_000, 18_400)
)
PEPPER = _run(  # Fri 11:00 + 20 / 30 h = 11:40
    "D2", 57.0, ("Fri 11:40", "Fri 23:40", "Sat 07:00"), _charge("N6", "", 7, 20_000, 16_400)
)


def easier_plan() -> Plan:
    return Plan(
        week=WEEK,
        rules="simple",
        runs=(ONION, TOMATO_A, TOMATO_B, BEAN, CARROT, MUSHROOM, PEPPER),
        duties=(),
        waiting=(Waiting("N7", Grams(10_000), Grams(9200)),),
        proof=Proof(Grams(164_280), Grams(173_480), Grams(100_000)),
    )
