"""The number under which a product is sold (GTIN): fourteen digits, the last checks the others."""

from __future__ import annotations

DIGITS = 14


def check_digit(digits: str) -> int:
    """Of a GTIN's other digits. Source: GS1, weights 3 and 1 from the right."""
    weighted = (int(each) * (3, 1)[place % 2] for place, each in enumerate(reversed(digits)))
    return -sum(weighted) % 10


def is_gtin(text: str) -> bool:
    """Whether it has fourteen digits and the last is right."""
    return (
        len(text) == DIGITS
        and text.isascii()
        and text.isdecimal()
        and check_digit(text[:-1]) == int(text[-1])
    )
