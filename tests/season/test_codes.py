"""Codes of lots, racks and bags there and back; GS1 labels as printed elsewhere."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.domain.gtin import check_digit, is_gtin
from scheduler.season.codes import Code, gs1, read

LOTS = ("26-231-G11-TOM", "26-231-G11-TOM-2", "26-001-G03-KAL")
codes = st.builds(
    Code,
    lot=st.sampled_from(LOTS),
    part=st.sampled_from(["", "A", "B", "C"]),
    rack=st.integers(0, 40),
    bag=st.integers(0, 1200),
)


@given(codes)
def test_a_code_is_read_as_it_was_written(code: Code):
    assert read(str(code)) == code


def test_as_written_on_a_label():
    assert str(Code("26-231-G11-TOM", "A")) == "26-231-G11-TOM-A"
    assert str(Code("26-231-G11-TOM", "A", rack=12)) == "26-231-G11-TOM-A-R12"
    assert str(Code("26-231-G11-TOM", bag=17)) == "26-231-G11-TOM-B017"


def test_gtin_by_hand():
    """6 x 1 + 1 x 3 ... of 629104150021 comes to 57: the check digit is 3 (GS1's own example)."""
    assert check_digit("629104150021") == 3
    assert is_gtin("00000000000000")
    assert is_gtin("06291041500213")
    assert not is_gtin("06291041500214")
    assert not is_gtin("6291041500213")


def test_label_of_a_bag():
    told = gs1("06291041500213", Code("26-231-G11-TOM", "A"), packed=date(2026, 8, 20), net_g=100)
    assert told == "(01)06291041500213(10)26-231-G11-TOM-A(11)260820(3103)000100"


def test_no_date_before_it_is_packed_and_no_best_before_that_nobody_told():
    lot, gtin = Code("26-231-G11-TOM"), "06291041500213"
    assert gs1(gtin, lot, net_g=100, keeps_days=365) == f"(01){gtin}(10){lot}(3103)000100"
    told = gs1(gtin, lot, net_g=100, packed=date(2026, 8, 20), keeps_days=365)
    assert told == f"(01){gtin}(10){lot}(11)260820(15)270820(3103)000100"


def test_what_is_heavier_than_a_ton_has_two_decimals():
    told = gs1("06291041500213", Code("26-231-G11-TOM"), packed=date(2026, 8, 20), net_g=1_234_560)
    assert told.endswith("(3102)123456")


@pytest.mark.parametrize(
    ("gtin", "lot", "net_g"),
    [
        ("06291041500214", "26-231-G11-TOM", 100),
        ("06291041500213", "26-231-GROWER-TOMATO-1", 100),
        ("06291041500213", "26-231-G11-TOM", 0),
    ],
)
def test_what_no_label_holds(gtin: str, lot: str, net_g: int):
    with pytest.raises(ValueError, match="no GS1 label"):
        gs1(gtin, Code(lot), packed=date(2026, 8, 20), net_g=net_g)
