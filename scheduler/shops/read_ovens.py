"""Reader of published oven instances: the data file of their constraint model."""

from __future__ import annotations

import re
from pathlib import Path

from scheduler.errors import BadInput, InputFault
from scheduler.shops.ovens import Job, Oven, Ovens, Table, Weights

ASSIGNED = re.compile(r"(\w+)\s*=\s*([^;]*);")
BETWEEN = re.compile(r"[\s,|\[\]{}]+")  # numbers


def ovens(path: Path) -> Ovens:
    """BadInput where a value is missing, out of range or weighs what is not weighed here, or a list
    has another length than it should."""
    return _File(path).ovens()


class _File:
    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self.values = dict(ASSIGNED.findall(path.read_text(encoding="utf-8")))
        except UnicodeDecodeError:
            raise self._fault(None, "is no text") from None

    def ovens(self) -> Ovens:
        families = self.one("a", least=1)
        weighed = "mult_factor_total_setuptimes"
        if weighed in self.values and self.one(weighed):
            raise self._fault(weighed, "is not 0, but set-up time does not count here")
        ovens = self._ovens(families)
        return Ovens(
            self.path.stem,
            ovens,
            self._jobs(families, ovens),
            self.table("setup_times", families + 1, families),
            self.table("setup_costs", families + 1, families),
            Weights(
                tick=self.one("mult_factor_total_runtime"),
                late=self.one("mult_factor_finished_toolate"),
                set_up=self.one("mult_factor_total_setupcosts"),
                scale=self.one("upper_bound_integer_objective", least=1),
            ),
        )

    def _ovens(self, families: int) -> tuple[Oven, ...]:
        count = self.one("m", least=1)
        starts = self.table("m_a_s", count)
        ends = self.table("m_a_e", count, len(starts[0]))
        capacities = self.row("max_cap", count)
        states = self.row("initState", count, least=1, most=families + 1)  # the last: none yet
        return tuple(
            Oven(capacity, tuple((a, b) for a, b in zip(*windows, strict=True) if a < b), state - 1)
            for capacity, state, windows in zip(
                capacities, states, zip(starts, ends, strict=True), strict=True
            )
        )

    def _jobs(self, families: int, ovens: tuple[Oven, ...]) -> tuple[Job, ...]:
        count = self.one("n", least=1)
        names = ("size", "earliest_start", "latest_end", "min_time", "max_time")
        columns = [self.row(name, count) for name in names]
        own = self.row("attribute", count, least=1, most=families)
        found = tuple(
            Job(where, family - 1, *rest)
            for where, family, rest in zip(
                self._eligible(count, len(ovens)), own, zip(*columns, strict=True), strict=True
            )
        )
        for number, job in enumerate(found, 1):
            if job.shortest > job.longest:
                raise self._fault("min_time", f"of job {number} is longer than its max_time")
            if any(job.size > ovens[oven].capacity for oven in job.ovens):
                message = f"of job {number} is more than an oven of its eligible_machine holds"
                raise self._fault("size", message)
        return found

    def _eligible(self, count: int, ovens: int) -> list[tuple[int, ...]]:
        name = "eligible_machine"
        sets = re.findall(r"\{([^}]*)\}", self._text(name))
        if len(sets) != count:
            raise self._fault(name, f"has {len(sets)} sets for {count} jobs")
        found = [self._numbers(name, inside, least=1, most=ovens) for inside in sets]
        if () in found:
            raise self._fault(name, f"names no oven for job {found.index(()) + 1}")
        return [tuple(oven - 1 for oven in inside) for inside in found]

    def _text(self, name: str) -> str:
        if name not in self.values:
            raise self._fault(name, "is missing; is it an oven instance in its published form?")
        return str(self.values[name])

    def _numbers(
        self, name: str, text: str, *, least: int = 0, most: int | None = None
    ) -> tuple[int, ...]:
        words = [word for word in BETWEEN.split(text) if word]
        for word in words:
            if not word.isdecimal():
                message = f"holds {word!r}; only whole numbers from 0 on are read"
                raise self._fault(name, message)
            if int(word) < least or (most is not None and int(word) > most):
                limits = f"from {least} on" if most is None else f"{least} to {most}"
                raise self._fault(name, f"holds {word}; it may be {limits}")
        return tuple(map(int, words))

    def one(self, name: str, *, least: int = 0, most: int | None = None) -> int:
        return self.row(name, 1, least=least, most=most)[0]

    def row(
        self, name: str, count: int, *, least: int = 0, most: int | None = None
    ) -> tuple[int, ...]:
        found = self._numbers(name, self._text(name), least=least, most=most)
        if len(found) != count:
            raise self._fault(name, f"has {len(found)} values, {count} are needed")
        return found

    def table(self, name: str, rows: int, columns: int | None = None) -> Table:
        """Without columns, rows of whatever one length."""
        lines = [self._numbers(name, line) for line in self._text(name).split("|")]
        found = tuple(line for line in lines if line)
        lengths = {len(line) for line in found}
        if len(found) != rows or len(lengths) != 1 or columns not in {None, *lengths}:
            of = f"of {columns}" if columns else "of one length"
            raise self._fault(name, f"has {len(found)} rows, {rows} {of} are needed")
        return found

    def _fault(self, name: str | None, message: str) -> BadInput:
        return BadInput((InputFault(self.path.name, None, name, message),))
