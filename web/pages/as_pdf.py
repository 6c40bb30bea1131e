"""A page as PDF, where the extra `report` is installed; else how to install it."""

from __future__ import annotations

import logging
import subprocess
import sys
from dataclasses import replace

from fastapi.responses import Response

from api.services.in_turn import InTurn
from web.pages.paper import print_page
from web.pdf import MISSING
from web.views.page import Page
from web.views.pdf import NoPdfPage
from web.views.reader import Reader

IN_TURN = InTurn()  # one at a time: each takes a core and much memory
LONGEST_S = 120  # a page of many lines on a small machine
SETTING = (sys.executable, "-m", "web.pdf")
UNKNOWN = 501  # this house cannot do it (RFC 9110)


def as_pdf(page: Page, reader: Reader, *, name: str, back: str) -> Response:
    """name: of the file; back: the page itself, which any browser prints.

    Only where the extra is missing is the page that tells so; another fault is our own mistake.
    """
    framed = replace(reader, navigation=())
    html = bytes(print_page(page, reader=framed).body)
    with IN_TURN:
        done = subprocess.run(
            SETTING, input=html, capture_output=True, check=False, timeout=LONGEST_S
        )
    if done.returncode:
        told = done.stderr.decode(errors="replace")[-500:]
        logging.getLogger(__name__).warning("no PDF: %s", told)
    if done.returncode == MISSING:
        return print_page(NoPdfPage(back), UNKNOWN, reader=reader)
    done.check_returncode()
    headers = {
        "Content-Disposition": f'inline; filename="{name}.pdf"',
        "Cache-Control": "private, no-cache",
    }
    return Response(done.stdout, media_type="application/pdf", headers=headers)
