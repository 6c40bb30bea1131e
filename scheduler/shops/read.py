"""Readers of published shops: job shops, flexible job shops, hybrid flow shops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from scheduler.errors import BadInput, InputFault
from scheduler.shops.chain import Shop, Steps, Way


def job_shop(path: Path) -> Shop:
    """Jobs and stations, then a line a job: station (from 0) and ticks, step by step."""
    numbers = _Numbers(path)
    jobs, stations = numbers.take(least=1), numbers.take(least=1)
    return numbers.shop(
        (1,) * stations,
        (tuple((numbers.way(stations, first=0),) for _ in range(stations)) for _ in range(jobs)),
    )


def flexible_job_shop(path: Path) -> Shop:
    """Jobs and stations (a third number is left alone), then a line a job: how many steps, and of
    each how many ways, station (from 1) and ticks."""
    numbers = _Numbers(path, first_line=2)
    jobs, stations = numbers.take(least=1), numbers.take(least=1)
    return numbers.shop((1,) * stations, (_flexible(numbers, stations) for _ in range(jobs)))


def _flexible(numbers: _Numbers, stations: int) -> Steps:
    return tuple(
        tuple(numbers.way(stations, first=1) for _ in range(numbers.take(least=1)))
        for _ in range(numbers.take())
    )


def hybrid_flow_shop(path: Path) -> Shop:
    """Jobs, stages, like stations in each stage, then a line a job: ticks, stage by stage."""
    numbers = _Numbers(path)
    jobs, stages = numbers.take(least=1), numbers.take(least=1)
    pools = tuple(numbers.take(least=1) for _ in range(stages))
    return numbers.shop(
        pools,
        (tuple((Way(stage, numbers.take()),) for stage in range(stages)) for _ in range(jobs)),
    )


class _Numbers:
    """The whole numbers of a file in order; BadInput where there are too few, too many or
    others."""

    def __init__(self, path: Path, first_line: int | None = None) -> None:
        self.path = path
        self.row: int | None = None  # of the number taken last
        self._all = self._read(first_line)

    def _read(self, first_line: int | None) -> Iterator[int]:
        try:
            lines = self.path.read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError:
            raise self._fault("is no text") from None
        most = first_line
        for row, line in enumerate(lines, 1):
            words = [] if line.startswith("#") else line.split()[:most]
            if words:
                most = None
            for word in words:
                self.row = row
                if not word.isdecimal():
                    raise self._fault(f"holds {word!r}; only whole numbers are read")
                yield int(word)
        self.row = None

    def take(self, *, least: int = 0) -> int:
        found = next(self._all, None)
        if found is None:
            raise self._fault("ends too soon; is it of this format?")
        if found < least:
            raise self._fault(f"holds {found} where {least} is the least")
        return found

    def way(self, stations: int, *, first: int) -> Way:
        pool = self.take() - first
        if not 0 <= pool < stations:
            raise self._fault(f"names station {pool + first}; there are {stations}")
        return Way(pool, self.take())

    def shop(self, pools: tuple[int, ...], jobs: Iterable[Steps]) -> Shop:
        """The shop of those jobs, with which the file ends."""
        found = Shop(self.path.stem, pools, tuple(jobs))
        if next(self._all, None) is not None:
            raise self._fault("goes on behind the last job; is it of this format?")
        return found

    def _fault(self, message: str) -> BadInput:
        return BadInput((InputFault(self.path.name, self.row, None, message),))
