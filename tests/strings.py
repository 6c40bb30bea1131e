"""Gathers what the pages say: `python -m tests.strings` brings the catalogues up to date."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

WEB = Path(__file__).parents[1] / "web"
CATALOGUES = sorted((WEB / "languages").glob("*.po"))
# Which argument of which function is said; ngettext and say_many: one and many.
KEYWORDS = {"_": None, "N_": None, "say": None, "ngettext": (1, 2), "say_many": (1, 2)}
TEMPLATES, MODULES = ("jinja2.ext:babel_extract", "**/*.html"), ("python", "**/*.py")


def gathered() -> Catalog:
    """Everything said in templates and modules of web/, in order of the alphabet."""
    found = Catalog()
    for said in _said():
        found.add(said)
    return found


def _said() -> Iterator[str | tuple[str, ...]]:
    options = {"newstyle_gettext": "true", "silent": "false"}
    for method, pattern in (TEMPLATES, MODULES):
        for file in sorted(WEB.glob(pattern)):
            source = io.BytesIO(file.read_bytes())
            for _, said, _, _ in extract(method, source, KEYWORDS, options=options):
                yield said if isinstance(said, str) else tuple(said)


def kept(file: Path) -> Catalog:
    with file.open("rb") as source:
        return read_po(source, locale=file.stem)


def bring_up_to_date() -> None:
    """Adds to every catalogue what is said now, drops what no longer is, keeps the rest."""
    for file in CATALOGUES:
        found = kept(file)
        found.update(gathered(), no_fuzzy_matching=True)
        found.obsolete.clear()
        with file.open("wb") as out:
            write_po(out, found, sort_output=True, no_location=True, omit_header=True, width=100)


if __name__ == "__main__":
    bring_up_to_date()
