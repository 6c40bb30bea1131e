"""Asks a serving Commonrack for its first page, stylesheet and API; fails if one is missing."""

import json
import sys
import time
from urllib.error import URLError
from urllib.request import Request, urlopen


def get(address: str, language: str = "en") -> bytes:
    """The body at that address, waiting up to 30 s for the server to open."""
    asked = Request(address, headers={"Accept-Language": language})
    for _ in range(60):
        try:
            with urlopen(asked, timeout=10) as answer:
                return bytes(answer.read())
        except (URLError, ConnectionError) as error:
            if getattr(error, "code", None):
                raise
            time.sleep(0.5)
    raise SystemExit(f"nobody answers at {address}")


site = sys.argv[1]
page = get(f"{site}/").decode()
if "Week on the racks" not in page or "<svg" not in page:
    raise SystemExit("the first page does not show the week")
if "Contraseña" not in get(f"{site}/log-in", "es").decode():
    raise SystemExit("the catalogues are missing")
if b"@media print" not in get(f"{site}/static/house.css"):
    raise SystemExit("the stylesheet is missing")
if json.loads(get(f"{site}/api/openapi.json"))["openapi"][:3] != "3.1":
    raise SystemExit("the API does not describe itself")
sys.stdout.write("first page, stylesheet and API answer\n")
