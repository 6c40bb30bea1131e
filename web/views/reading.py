"""How somebody reads: language, units and clock; all that a page tells is worded through it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_skeleton
from babel.lists import format_list
from babel.numbers import format_currency, format_decimal, format_percent

from scheduler.units import HOUR, MINUTE, Grams, fahrenheit, kg, lb
from scheduler.wording import FEW, VERY_FEW, TemperatureUnit, WeightUnit, clock
from web.languages import ENGLISH, LANGUAGES, Language, catalogue


def N_(text: str) -> str:  # noqa: N802 the name that gettext's tools look for
    """Marks a text that is put into the reader's language where it is shown."""
    return text


@dataclass(frozen=True, slots=True)
class Reading:
    """zone: the kitchen's; without one, times are told by the clock they carry."""

    language: str = ENGLISH
    weight_unit: WeightUnit = "kg"
    temperature_unit: TemperatureUnit = "C"
    zone: ZoneInfo | None = None

    def say(self, text: str, **values: object) -> str:
        """The text in the reader's language, %(name)s filled in."""
        said = catalogue(self.language).gettext(text)
        return said % values if values else said

    def say_many(self, one: str, many: str, count: int, **values: object) -> str:
        """The text for so many; %(n)s is the number itself."""
        said = catalogue(self.language).ngettext(one, many, count)
        return said % {"n": self.number(count), **values}

    def number(self, number: float, decimals: int = 0) -> str:
        """ "1,208": no decimals that are all noughts."""
        return format_decimal(round(number, decimals), "#,##0.###", locale=self._language.locale)

    def weight(self, amount: Grams) -> str:
        """ "1,208 kg", "4.4 kg": one decimal below 100."""
        found = self.in_unit(amount)
        return f"{self.number(found, int(abs(found) < FEW))} {self.weight_unit}"

    def in_unit(self, amount: Grams) -> float:
        """Grams in the reader's unit, unrounded."""
        return kg(amount) if self.weight_unit == "kg" else lb(amount)

    def temperature(self, celsius: float) -> str:
        """ "57 °C"."""
        if self.temperature_unit == "C":
            return f"{self.number(celsius, 1)} °C"
        return f"{self.number(fahrenheit(celsius))} °F"

    def percent(self, share: float) -> str:
        """ "51 %", one decimal below ten."""
        few = abs(share) * 100 < VERY_FEW
        return format_percent(share, "0.# %" if few else "0 %", locale=self._language.locale)

    def money(self, minor: int, currency: str) -> str:
        """Minor units as "$27.83"."""
        return format_currency(minor / 100, currency, locale=self._language.locale)

    def day(self, at: date) -> str:
        """ "Tuesday 18 August"."""
        return self._date(at, self._language.day)

    def short_day(self, at: date) -> str:
        """ "Tue 18 Aug"."""
        return self._date(at, self._language.short_day)

    def dated(self, at: date) -> str:
        """ "31 Mar 2027"."""
        return self._date(at, "medium")

    def month(self, at: date) -> str:
        """ "August 2026"."""
        return format_skeleton("yMMMM", at, locale=self._language.locale)

    def weekday(self, at: date) -> str:
        """ "Tuesday"."""
        return self._date(at, "EEEE")

    def clock(self, at: datetime) -> str:
        """ "08:15" for everybody, as on the printed sheets; seconds only where there are any."""
        return clock(self.local(at))

    def clock_from(self, at: datetime, day: date) -> str:
        """The clock, with the weekday before it on any other day: "Wed 02:15"."""
        local = self.local(at)
        return clock(local) if local.date() == day else f"{self._date(at, 'EEE')} {clock(local)}"

    def moment(self, at: datetime) -> str:
        """ "Tue 18 Aug, 08:15"."""
        return f"{self.short_day(at)}, {self.clock(at)}"

    def span(self, start: datetime, end: datetime) -> str:
        """ "Tue 18 Aug, 08:15 to 10:00"; the day again where it is another one."""
        if start == end:
            return self.moment(start)
        same = self.local(start).date() == self.local(end).date()
        last = self.clock(end) if same else self.moment(end)
        return self.say("%(start)s to %(end)s", start=self.moment(start), end=last)

    def duration(self, seconds: int) -> str:
        """ "15 h", "7 h 30 min"."""
        hours, rest = divmod(seconds, HOUR)
        parts = ((hours, "h"), (rest // MINUTE, "min"))
        return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"

    def listed(self, things: list[str]) -> str:
        """ "a, b and c"."""
        return format_list(things, locale=self._language.locale)

    def local(self, at: datetime) -> datetime:
        """The instant by the kitchen's clock."""
        return at if self.zone is None else at.astimezone(self.zone)

    def _date(self, at: date, pattern: str) -> str:
        day = self.local(at) if isinstance(at, datetime) else at
        return format_date(day, pattern, locale=self._language.locale)

    @property
    def _language(self) -> Language:
        return LANGUAGES[self.language]
