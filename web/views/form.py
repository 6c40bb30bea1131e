"""A form as a page shows it: its fields with what was written in them and what is wrong there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from secrets import token_urlsafe
from typing import Literal

from scheduler.errors import BadInput
from web.views.reading import Reading

Kind = Literal[
    "text", "decimal", "whole", "date", "time", "datetime-local", "password", "choice", "few",
    "yes", "long", "hidden",
]  # fmt: skip  # choice: one of a list; few: one of a few, all in sight; yes: a box to tick

_INPUTS: dict[Kind, dict[str, str]] = {
    "text": {"type": "text"},
    "decimal": {"type": "text", "inputmode": "decimal", "autocomplete": "off"},
    "whole": {"type": "text", "inputmode": "numeric", "autocomplete": "off"},
    "date": {"type": "date"},
    "time": {"type": "time"},
    "datetime-local": {"type": "datetime-local"},
    "password": {"type": "password"},
}


@dataclass(frozen=True, slots=True)
class Field:
    """label and hint are in the reader's language. unit stands behind it.

    options: value and what it is called. more: attributes of the input, such as autocomplete.
    folded: it stands under "More", out of sight until wanted.
    """

    name: str
    label: str
    kind: Kind = "text"
    hint: str = ""
    unit: str = ""
    needed: bool = True
    options: tuple[tuple[str, str], ...] = ()
    more: Mapping[str, str] = field(default_factory=dict)
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Form:
    """said: what stands in each field. faults: field ("" for the whole), what is wrong.

    key: under it the form is done once, however often it is sent. danger: it cannot be undone.
    """

    action: str
    button: str
    fields: tuple[Field, ...] = ()
    said: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[tuple[str, str], ...] = ()
    key: str = field(default_factory=lambda: token_urlsafe(12))
    danger: bool = False

    def filled(self, said: Mapping[str, str], key: str) -> Form:
        """As it was sent; a box that was not ticked is not sent."""
        return replace(self, said=said, key=key or self.key)

    def refused(
        self, error: BadInput, reading: Reading, names: Mapping[str, str] | None = None
    ) -> Form:
        """With what is wrong at each field. names: from the book's to those here."""
        known = {each.name for each in self.fields}
        told = []
        for fault in error.faults:
            name = (names or {}).get(fault.field or "", fault.field or "")
            told.append((name if name in known else "", reading.say(fault.message)))
        return replace(self, faults=tuple(told))

    def told(self, name: str) -> str:
        """What is wrong at that field."""
        return " ".join(text for each, text in self.faults if each == name)

    def label(self, name: str) -> str:
        return next((each.label for each in self.fields if each.name == name), "")

    def attributes(self, field: Field) -> dict[str, str]:
        """Those of its input; what helps and what is wrong there are named by it."""
        told = bool(self.told(field.name))
        found = {"id": field.name, "name": field.name, **_INPUTS.get(field.kind, {})}
        if field.needed and field.kind != "yes":
            found["required"] = ""
        if told:
            found["aria-invalid"] = "true"
        beside = [f"{field.name}-fault"] * told + [f"{field.name}-hint"] * bool(field.hint)
        if beside:
            found["aria-describedby"] = " ".join(beside)
        return found | dict(field.more)

    @property
    def shown(self) -> Iterator[Field]:
        return (each for each in self.fields if not each.folded)

    @property
    def folded(self) -> tuple[Field, ...]:
        return tuple(each for each in self.fields if each.folded)

    @property
    def opened(self) -> bool:
        """Whether what is folded must be seen, because something is wrong there."""
        return any(self.told(each.name) for each in self.folded)
