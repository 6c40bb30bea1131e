"""Reader of published oven instances: the data file of their constraint model."""

from __future__ import annotations

import re
from pathlib import Path

from scheduler.errors import BadInput, InputFault
from scheduler.shops.ovens import Job, Oven, Ovens, Table, Weights

ASSIGNED = re.compile(r"(\w+)\s*=\s*([^;]*);")
WHOLE = re.compile(r"\d+")


def ovens(path: Path) -> Ovens:
    """BadInput where a value is missing or a list has another length than it should."""
    return _File(path).ovens()


class _File:
    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self.values = dict(ASSIGNED.findall(path.read_text(encoding="utf-8")))
        except UnicodeDecodeError:
            raise self._fault(None, "is no text") from None

    def ovens(self) -> Ovens:
        families = self.one("a")
        return Ovens(
            self.path.stem,
            self._ovens(),
            self._jobs(),
            self.table("setup_times", families + 1),
            self.table("setup_costs", families + 1),
            Weights(
                tick=self.one("mult_factor_total_runtime"),
                late=self.one("mult_factor_finished_toolate"),
                set_up=self.one("mult_factor_total_setupcosts"),
                scale=self.one("upper_bound_integer_objective"),
            ),
        )

    def _ovens(self) -> tuple[Oven, ...]:
        count = self.one("m")
        starts, ends = self.table("m_a_s", count), self.table("m_a_e", count)
        capacities, states = self.row("max_cap", count), self.row("initState", count)
        return tuple(
            Oven(capacity, tuple((a, b) for a, b in zip(*windows, strict=True) if a < b), state - 1)
            for capacity, state, windows in zip(
                capacities, states, zip(starts, ends, strict=True), strict=True
            )
        )

    def _jobs(self) -> tuple[Job, ...]:
        count = self.one("n")
        sets = re.findall(r"\{([^}]*)\}", self._text("eligible_machine"))
        eligible = [tuple(int(each) - 1 for each in WHOLE.findall(inside)) for inside in sets]
        if len(eligible) != count:
            raise self._fault("eligible_machine", f"has {len(eligible)} sets for {count} jobs")
        names = ("attribute", "size", "earliest_start", "latest_end", "min_time", "max_time")
        columns = [self.row(name, count) for name in names]
        return tuple(
            Job(where, family - 1, *rest)
            for where, (family, *rest) in zip(eligible, zip(*columns, strict=True), strict=True)
        )

    def _text(self, name: str) -> str:
        if name not in self.values:
            raise self._fault(name, "is missing; is it an oven instance in its published form?")
        return str(self.values[name])

    def one(self, name: str) -> int:
        return self.row(name, 1)[0]

    def row(self, name: str, count: int) -> tuple[int, ...]:
        found = tuple(map(int, WHOLE.findall(self._text(name))))
        if len(found) != count:
            raise self._fault(name, f"has {len(found)} values, {count} are needed")
        return found

    def table(self, name: str, rows: int) -> Table:
        lines = [WHOLE.findall(line) for line in self._text(name).split("|")]
        found = tuple(tuple(map(int, line)) for line in lines if line)
        if len(found) != rows or len({len(line) for line in found}) != 1:
            raise self._fault(name, f"has {len(found)} rows, {rows} of one length are needed")
        return found

    def _fault(self, name: str | None, message: str) -> BadInput:
        return BadInput((InputFault(self.path.name, None, name, message),))
