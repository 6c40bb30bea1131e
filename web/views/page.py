"""What every page is: a frozen value with the name of the template that shows it."""

from __future__ import annotations

from typing import ClassVar


class Page:
    """Base of all pages: a page is a frozen dataclass of what its template shows."""

    __slots__ = ()
    template: ClassVar[str]
