"""How far what is written into the book may reach, whichever way it comes in."""

from __future__ import annotations

from datetime import UTC, datetime

FIRST_YEAR, LAST_YEAR = 2000, 2100  # further off was not meant (common practice)
FIRST = datetime(FIRST_YEAR, 1, 1, tzinfo=UTC)
END = datetime(LAST_YEAR, 1, 1, tzinfo=UTC)  # not counted itself
MOST_KG = 100_000  # more than any kitchen takes in a week
MOST_CHARACTERS = 500
MOST_BYTES = 2_000_000  # a table of notes has a hundredth of that
CLEAN = r"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f]*$"
NAME = r"^[^\x00-\x20\x7f/]{1,60}$"
