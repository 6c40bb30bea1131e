"""Codes of lots, racks and bags, and what a GS1 label says of them.

A lot: year, day of the year, grower, crop: 26-231-G11-TOM; a number behind it where taken. Its part
in a split lot: -A. A rack: -R12, its place in the dryer. A bag: -B017. Own pattern (demo).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.domain.gtin import is_gtin

LONGEST = 20  # characters of a batch or lot, AI (10): GS1 application identifiers, 2024-03-17
_PARTS = re.compile(r"(?P<lot>.+?)(?:-(?P<part>[A-C]))?(?:-R(?P<rack>\d+))?(?:-B(?P<bag>\d+))?")
_NET_KG = 6  # digits of AI (310n)


@dataclass(frozen=True, slots=True)
class Code:
    """What a code names. part: "" for the whole lot; rack, bag: 0 where none is named."""

    lot: str
    part: str = ""
    rack: int = 0
    bag: int = 0

    def __str__(self) -> str:
        text = f"{self.lot}-{self.part}" if self.part else self.lot
        text += f"-R{self.rack}" if self.rack else ""
        return text + (f"-B{self.bag:03d}" if self.bag else "")


def read(text: str) -> Code:
    """Any code as its parts; a lot code alone is itself."""
    found = _PARTS.fullmatch(text.strip())
    if found is None:
        return Code(text.strip())
    return Code(found["lot"], found["part"] or "", int(found["rack"] or 0), int(found["bag"] or 0))


def gs1(
    gtin: str, code: Code, *, net_g: int, packed: date | None = None, keeps_days: int = 0
) -> str:
    """(01) GTIN, (10) lot, (11) production date, (15) best before, (310n) net weight in kg, as
    people read it.

    No date before the lot is packed; no best before where nobody told how long a bag keeps. Net
    weight with three decimals, n = 3; where that does not fit, with two. ValueError for what the
    standard does not hold: a wrong GTIN, a lot of more than 20 characters, no weight.
    """
    lot = f"{code.lot}-{code.part}" if code.part else code.lot
    if not is_gtin(gtin) or len(lot) > LONGEST or not 0 < net_g < 10 ** (_NET_KG + 1):
        raise ValueError(f"no GS1 label holds {gtin} {lot} {net_g} g")
    places = 3 if net_g < 10**_NET_KG else 2
    net = net_g if places == 3 else net_g // 10  # noqa: PLR2004 grams are kg with three decimals
    dates = f"(11){packed:%y%m%d}" if packed else ""
    if packed and keeps_days:
        dates += f"(15){packed + timedelta(days=keeps_days):%y%m%d}"
    return f"(01){gtin}(10){lot}{dates}(310{places}){net:0{_NET_KG}d}"
