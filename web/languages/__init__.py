"""The languages of the pages: catalogues read from the .po files beside this module."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from gettext import NullTranslations
from io import BytesIO
from pathlib import Path

from babel.core import Locale, negotiate_locale
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.support import Translations


@dataclass(frozen=True, slots=True)
class Language:
    """name: in itself. day and short_day: patterns of a date (Unicode UTS 35)."""

    name: str
    locale: Locale
    day: str
    short_day: str


LANGUAGES = {
    "en": Language("English", Locale("en", "GB"), "EEEE d MMMM", "EEE d MMM"),
    "en-US": Language("English (US)", Locale("en", "US"), "EEEE, MMMM d", "EEE, MMM d"),
    "es": Language("Español", Locale("es"), "EEEE d 'de' MMMM", "EEE d MMM"),
}
ENGLISH = "en"  # what stands in the source
FOLDER = Path(__file__).parent


@cache
def catalogue(language: str) -> NullTranslations:
    """What the pages say in that language; English is what stands in the source."""
    file = FOLDER / f"{language}.po"
    if not file.exists():
        return NullTranslations()
    with file.open("rb") as source:
        found = read_po(source, locale=language)
    compiled = BytesIO()
    write_mo(compiled, found)
    compiled.seek(0)
    return Translations(compiled)


def best_of(accepted: str) -> str:
    """The language that an Accept-Language header asks for most, of those there are (RFC 9110)."""
    wanted = sorted(map(_weighed, accepted.split(",")), key=lambda each: -each[1])
    found = negotiate_locale([name for name, weight in wanted if weight > 0], LANGUAGES, sep="-")
    return next((each for each in LANGUAGES if each.lower() == (found or "").lower()), ENGLISH)


def _weighed(text: str) -> tuple[str, float]:
    name, _, quality = text.partition(";q=")
    try:
        return name.strip(), float(quality or 1)
    except ValueError:
        return name.strip(), 0
