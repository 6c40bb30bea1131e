"""What is shown where no PDF can be made here: how to install what it needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from web.views.page import Page


@dataclass(frozen=True, slots=True)
class NoPdfPage(Page):
    """back: the page itself, to be printed from the browser instead."""

    template: ClassVar[str] = "no_pdf.html"
    back: str
    install: str = ".venv/bin/pip install -q -c .ci/constraints.txt '.[report]'"
    system: str = "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
