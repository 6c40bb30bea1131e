"""`python -m web.pdf`: a page as HTML from standard input, as PDF to standard output.

A process of its own, so that nobody waits while one is set. It loads nothing from anywhere: the
house's stylesheet is at hand, and all else that a page might name is refused.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

MISSING = 3  # ends so where the extra, or what it needs of the system, is not installed
STATIC = Path(__file__).parent / "static"
STYLES = ("house.css", "board.css", "paper.css", "pdf.css")
ALONE = "--alone"  # the page brings its own styles
OUTSIDE = re.compile(r"<link\b[^>]*>|<script\b.*?</script>", re.DOTALL)
# A drawing is set by itself: it knows neither the page's styles nor the hatches of another.
INK = (
    "<style>.block{fill:#fff;stroke:#000}.hold{fill:none;stroke:#333;stroke-dasharray:2.5 2.5}"
    ".hatch-dot{fill:#000}.hatch-line{fill:none;stroke:#000;stroke-width:.9}</style>"
)


def for_setting(html: str) -> str:
    """The page without what lies outside it, its drawings complete in themselves."""
    found = re.search(r"<defs>.*?</defs>", html, re.DOTALL)
    inside = INK + (found[0] if found else "")
    return re.sub(r"(<svg\b[^>]*>)", lambda each: each[1] + inside, OUTSIDE.sub("", html))


def main() -> None:
    """Ends as MISSING where it cannot be loaded at all; any other fault is ours."""
    try:
        from weasyprint import CSS, HTML  # noqa: PLC0415 the extra: missing in most houses
        from weasyprint.urls import URLFetcher  # noqa: PLC0415
    except (ImportError, OSError) as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(MISSING)

    html = for_setting(sys.stdin.buffer.read().decode())
    page = HTML(string=html, url_fetcher=URLFetcher(allowed_protocols=()))
    names = () if ALONE in sys.argv else STYLES
    styles = [CSS(filename=STATIC / name) for name in names]
    sys.stdout.buffer.write(page.write_pdf(stylesheets=styles) or b"")


if __name__ == "__main__":
    main()
