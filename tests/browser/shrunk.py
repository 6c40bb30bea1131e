"""Pictures made small enough to be kept: few colours, and no longer than somebody scrolls."""

from __future__ import annotations

import subprocess
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image

LONGEST, MOST = 2000, 1_900_000  # pixels: high, and in all
COLOURS = 20
TO_THE_INCH = 96


def shrunk(picture: bytes) -> bytes:
    """A PNG with few colours, cut at the foot if it is too long."""
    with Image.open(BytesIO(picture)) as found:
        high = min(found.height, LONGEST, MOST // found.width)
        return _kept(found.convert("RGB").crop((0, 0, found.width, high)))


def printed(pdf: bytes, *, most: int = 2) -> bytes:
    """The first sheets of a PDF side by side in shades of grey, as a black-and-white printer has
    them. FileNotFoundError without pdftoppm (Debian: poppler-utils)."""
    with tempfile.TemporaryDirectory() as folder:
        call = ["pdftoppm", "-png", "-gray", "-l", str(most), "-r", str(TO_THE_INCH)]
        call += ["-", str(Path(folder) / "sheet")]
        subprocess.run(call, input=pdf, check=True)
        sheets = [Image.open(each).convert("L") for each in sorted(Path(folder).iterdir())]
    wide = sum(each.width for each in sheets) + 16 * (len(sheets) - 1)
    beside = Image.new("L", (wide, max(each.height for each in sheets)), 128)
    left = 0
    for each in sheets:
        beside.paste(each, (left, 0))
        left += each.width + 16
    return _kept(beside)


def _kept(picture: Image.Image) -> bytes:
    into = BytesIO()
    few = picture.convert("RGB").quantize(COLOURS, Image.Quantize.MAXCOVERAGE, kmeans=2)
    few.save(into, "PNG", optimize=True)
    return into.getvalue()
