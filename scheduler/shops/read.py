"""Readers of published shops: job shops, flexible job shops, hybrid flow shops."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from scheduler.errors import BadInput, InputFault
from scheduler.shops.chain import Shop, Steps, Way


def job_shop(path: Path) -> Shop:
    """Jobs and stations, then a line a job: station (from 0) and ticks, step by step."""
    numbers = _Numbers(path)
    jobs, stations = numbers.take(), numbers.take()
    return Shop(
        path.stem,
        (1,) * stations,
        tuple(
            tuple((numbers.way(stations, first=0),) for _ in range(stations)) for _ in range(jobs)
        ),
    )


def flexible_job_shop(path: Path) -> Shop:
    """Jobs and stations (a third number is left alone), then a line a job: how many steps, and of
    each how many ways, station (from 1) and ticks."""
    numbers = _Numbers(path, first_line=2)
    jobs, stations = numbers.take(), numbers.take()
    return Shop(
        path.stem, (1,) * stations, tuple(_flexible(numbers, stations) for _ in range(jobs))
    )


def _flexible(numbers: _Numbers, stations: int) -> Steps:
    return tuple(
        tuple(numbers.way(stations, first=1) for _ in range(numbers.take()))
        for _ in range(numbers.take())
    )


def hybrid_flow_shop(path: Path) -> Shop:
    """Jobs, stages, like stations in each stage, then a line a job: ticks, stage by stage."""
    numbers = _Numbers(path)
    jobs, stages = numbers.take(), numbers.take()
    pools = tuple(numbers.take() for _ in range(stages))
    return Shop(
        path.stem,
        pools,
        tuple(tuple((Way(stage, numbers.take()),) for stage in range(stages)) for _ in range(jobs)),
    )


class _Numbers:
    """The whole numbers of a file in order; BadInput where there are too few or others."""

    def __init__(self, path: Path, first_line: int | None = None) -> None:
        self.path = path
        self._all = self._read(first_line)

    def _read(self, first_line: int | None) -> Iterator[int]:
        try:
            lines = self.path.read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError:
            raise self._fault("is no text") from None
        for row, line in enumerate(lines):
            if line.startswith("#"):
                continue
            words = line.split()[: None if row else first_line]
            for word in words:
                if not word.isdigit():
                    raise self._fault(f"holds {word!r}; only whole numbers are read", row + 1)
                yield int(word)

    def take(self) -> int:
        found = next(self._all, None)
        if found is None:
            raise self._fault("ends too soon; is it of this format?")
        return found

    def way(self, stations: int, *, first: int) -> Way:
        pool, ticks = self.take() - first, self.take()
        if not 0 <= pool < stations:
            raise self._fault(f"names station {pool + first}; there are {stations}")
        return Way(pool, ticks)

    def _fault(self, message: str, row: int | None = None) -> BadInput:
        return BadInput((InputFault(self.path.name, row, None, message),))
