"""For whom the kilograms are: the most by name, without names together, beside who was refused."""

from __future__ import annotations

from dataclasses import replace

from scheduler.season.gains import for_whom
from scheduler.season.turns import MemberLine

GAINED = (("G2", 150_000), ("G3", 105_000), ("G9", 88_400), ("G6", 37_000), ("G7", -2_000))
NOBODY = MemberLine("", 1, 1, 0, 0, 0, 0, 0, 0, 0, 0)


def lines(**refused_kg: int) -> list[MemberLine]:
    return [replace(NOBODY, grower_id=who, refused_g=kg * 1000) for who, kg in refused_kg.items()]


def told(*, named: bool = True, **refused_kg: int) -> list[str]:
    return list(for_whom("One more dryer", GAINED, lines(**refused_kg), named=named))


def test_the_three_who_gain_most_and_who_was_refused_most():
    assert told(G2=304, G6=740, G7=20) == [
        "With one more dryer G2 would get 150 kg more, G3 105 and G9 88; G6, refused most"
        " (740 field kg), 37."
    ]


def test_who_was_refused_most_is_not_named_twice():
    assert told(G2=304, G6=20) == [
        "With one more dryer G2 would get 150 kg more, G3 105 and G9 88."
    ]
    assert told(G2=0, G6=0) == told(G2=304)


def test_who_was_refused_most_may_gain_nothing():
    assert told(G4=99)[0].endswith("; G4, refused most (99 field kg), 0.")


def test_without_names_nobody_stands_there():
    assert told(named=False, G2=304, G6=740) == [
        "With one more dryer 3 members would get 343 kg more; the member refused most (740"
        " field kg), 37."
    ]


def test_where_nobody_gains_nothing_is_said():
    assert list(for_whom("Another", (("G1", 0), ("G2", -5)), lines(G1=9), named=True)) == []
    assert list(for_whom("Another", (), [], named=True)) == []
