"""For whom the kilograms are that the board is asked about, against who was refused."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scheduler.season.turns import MemberLine
from scheduler.wording import count, listed, plain

GRAMS, NAMED = 1000, 3


def for_whom(
    what: str, gained: Sequence[tuple[str, int]], lines: Sequence[MemberLine], *, named: bool
) -> Iterator[str]:
    """A sentence, where anybody gains. what: the option; gained: prepared grams by grower, most
    first; lines: what each had."""
    most = [(who, plain(grams / GRAMS), grams) for who, grams in gained if grams > 0][:NAMED]
    if not most:
        return
    if named:
        who, kg, _ = most[0]
        parts = [f"{who} would get {kg} kg more", *(f"{w} {k}" for w, k, _ in most[1:])]
    else:
        together = plain(sum(grams for *_, grams in most) / GRAMS)
        parts = [f"{count(len(most), 'member')} would get {together} kg more"]
    told = f"With {what.lower()} {listed(parts)}"
    refused = max(lines, key=lambda each: each.refused_g, default=None)
    if refused and refused.refused_g and refused.grower_id not in {each[0] for each in most}:
        who = f"{refused.grower_id}," if named else "the member"
        kg = plain(dict(gained).get(refused.grower_id, 0) / GRAMS)
        without = plain(refused.refused_g / GRAMS)
        told += f"; {who} refused most ({without} field kg), {kg}"
    yield f"{told}."
