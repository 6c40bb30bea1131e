"""What was sent with a form: read field by field, all that is wrong gathered and told at once."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Annotated, TypeVar

from fastapi import Depends, Request
from pydantic import BaseModel, ValidationError

from api.services.once import Repeatable
from scheduler.errors import BadInput, InputFault
from scheduler.units import Grams, grams, grams_from_lb
from web.views.reading import N_, Reading

KEY = "once"  # the hidden field that bears a form's key
Body = TypeVar("Body", bound=BaseModel)
Value = TypeVar("Value")
_BOUNDS = {  # what pydantic calls it, to what people are told
    "greater_than": N_("must be more than %(gt)s"),
    "greater_than_equal": N_("must be at least %(ge)s"),
    "less_than": N_("must be less than %(lt)s"),
    "less_than_equal": N_("must be at most %(le)s"),
    "string_too_long": N_("must have at most %(max_length)s characters"),
    "string_too_short": N_("must be filled in"),
}


@dataclass(frozen=True, slots=True)
class Posted:
    """said: the fields without the key."""

    said: Mapping[str, str]
    key: str
    path: str

    @property
    def request(self) -> Repeatable:
        """The same form with the same words is done once; with other words it is another."""
        text = f"POST {self.path} {sorted(self.said.items())}"
        if not self.key:
            return Repeatable(None, text)
        return Repeatable(f"{self.key}.{Repeatable(None, text).fingerprint[:24]}", text)


async def _posted(request: Request) -> Posted:
    async with request.form(max_files=0) as form:
        said = {name: value for name, value in form.items() if isinstance(value, str)}
    return Posted(said, said.pop(KEY, "")[:60], request.url.path)


def latest(local: datetime, *, until: datetime | None) -> datetime:
    """In UTC. Where the clock goes back an hour is told twice: the second, if it has come."""
    second = local.replace(fold=1).astimezone(UTC)
    return second if until and second <= until else local.astimezone(UTC)


AtForm = Annotated[Posted, Depends(_posted)]


class Taken:
    """The fields of a form as values. A faulty one reads as nothing; whole() refuses them all."""

    def __init__(self, posted: Posted, reading: Reading) -> None:
        self.said = posted.said
        self.reading = reading
        self.faults: list[InputFault] = []

    def text(self, name: str, *, needed: bool = True) -> str:
        found = self.said.get(name, "").strip()
        if needed and not found:
            self.fault(name, self.reading.say("must be filled in"))
        return found

    def number(self, name: str) -> float:
        """A decimal point or comma alike."""
        text = self.text(name)
        try:
            found = float(text.replace(",", "."))
        except ValueError:
            found = math.nan
        if math.isfinite(found):
            return found
        return self._not(name, text, N_("must be a number"), 0.0)

    def whole(self, name: str) -> int:
        found = self.number(name)
        if found.is_integer():
            return int(found)
        return self._not(name, "x", N_("must be a whole number"), 0)

    def weight(self, name: str) -> Grams:
        """Told in the reader's unit."""
        found = self.number(name)
        return grams(found) if self.reading.weight_unit == "kg" else grams_from_lb(found)

    def day(self, name: str) -> date:
        text = self.text(name)
        try:
            return date.fromisoformat(text)
        except ValueError:
            return self._not(name, text, N_("must be a day"), date(2000, 1, 1))

    def clock(self, name: str) -> time:
        text = self.text(name)
        try:
            return time.fromisoformat(text).replace(tzinfo=None)
        except ValueError:
            return self._not(name, text, N_("must be a time of day"), time(0))

    def moment(self, day: str, clock: str, *, until: datetime | None = None) -> datetime:
        """A day and a time of day by the kitchen's clock, in UTC; until: of a doubled hour the last
        that is not later."""
        zone = self.reading.zone or UTC
        on, at = self.day(day), self.clock(clock)
        return latest(datetime.combine(on, at, zone), until=until)

    def choice(self, name: str, options: Collection[str]) -> str:
        found = self.said.get(name, "")
        return found if found in options else self._not(name, "x", N_("must be chosen"), "")

    def yes(self, name: str) -> bool:
        return name in self.said

    def fault(self, name: str, told: str) -> None:
        self.faults.append(InputFault("form", None, name, told))

    def _not(self, name: str, text: str, told: str, instead: Value) -> Value:
        if text:
            self.fault(name, self.reading.say(told))
        return instead

    def must_be_right(self) -> None:
        """BadInput with every fault found so far."""
        if self.faults:
            raise BadInput(tuple(self.faults))

    def body(self, schema: type[Body], values: Mapping[str, object]) -> Body:
        """The values under the bounds that the API's body has for them; BadInput with every fault,
        named as the API names its fields."""
        self.must_be_right()
        try:
            return schema.model_validate(dict(values))
        except ValidationError as error:
            faults = [
                InputFault("form", None, str(each["loc"][0]), self._told(each))
                for each in error.errors()
            ]
            raise BadInput(tuple(faults)) from None

    def _told(self, error: Mapping[str, object]) -> str:
        known = _BOUNDS.get(str(error["type"]))
        told: object = error.get("ctx", {})
        values = told if isinstance(told, dict) else {}
        return self.reading.say(known or N_("cannot be used"), **values)
