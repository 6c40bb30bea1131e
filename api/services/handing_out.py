"""Bags handed out: to whom they went, so that a lot can be followed forward."""

from __future__ import annotations

from dataclasses import replace

from api.records.happened import Happening
from api.records.notes import Lot
from api.services.deeds import keep_deed
from api.services.errors import NotNow
from api.services.lots import lot
from api.services.ports import Book
from api.services.roles import Act, Doing
from api.services.versions import same_version


def hand_out(book: Book, doing: Doing, code: str, *, version: int, bags: int, to: str) -> Lot:
    """So many bags of the lot went to somebody; NotNow before it is packed, and for more than are
    left. Whether they may be sold, a person has decided."""
    found = lot(book, doing, code, Act.PACK)
    same_version(version, found.version, f"lot {code}")
    left = (found.bags or 0) - sum(count for _, count in handed_out(book, code))
    if found.state != "packed" or bags > left:
        raise NotNow(f"lot {code} is {found.state}; {left} bags of it are here")
    later = replace(found, version=found.version + 1)
    book.lots.replace(later)
    told = {"bags": bags, "to": to}
    book.happenings.add(
        Happening("collected", doing.at, doing.person.id, found.week, found.code, told)
    )
    keep_deed(book, doing, Act.PACK, code, bags_out=bags, to=to)
    return later


def handed_out(book: Book, code: str) -> tuple[tuple[str, int], ...]:
    """To whom bags of the lot went, and how many, in order of time."""
    found = book.happenings.where(subject=code, kind="collected")
    return tuple((each.told["to"], each.told["bags"]) for each in found)
