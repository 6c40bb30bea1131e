"""Climbers in processes of their own. They are called before their problem is known, for it takes
them a second or two to start."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from pathlib import Path

from scheduler.model.climb import Budget, Climber
from scheduler.model.master import bounds, most_there_is
from scheduler.model.whole import taken_at_once, whole_bound
from scheduler.problem import Draft, Problem

APART = 1000  # between seeds, so that no climber repeats another


@dataclass(frozen=True, slots=True)
class Better:
    """A climber's best so far, or of its finished round and the steps by hand in that."""

    draft: Draft
    final: bool
    steps: int = 0


@dataclass(frozen=True, slots=True)
class ToProve:
    """What a climber is asked to find instead of a draft."""

    at_once: bool


class Crew:
    """At least one climber. Each goes when its parent has gone."""

    def __init__(self, climbing: int, seed: int) -> None:
        context = multiprocessing.get_context("spawn")
        self.pipes: list[Connection] = []
        self.processes = []
        for member in range(max(1, climbing)):
            ours, theirs = context.Pipe()
            process = context.Process(
                target=_work, args=(seed + APART * member, theirs), daemon=True
            )
            process.start()
            theirs.close()
            self.pipes.append(ours)
            self.processes.append(process)

    @property
    def climbing(self) -> int:
        return len(self.pipes)

    def begin(self, problem: Problem) -> None:
        """All climb in this problem from now on."""
        for pipe in self.pipes:
            pipe.send(problem)

    def prove(self, *, at_once: bool) -> None:
        """The last climber finds the bound, once it has done what it was sent. at_once: that of a
        small week as well, which ends by the clock."""
        self.pipes[-1].send(ToProve(at_once))

    def send(self, member: int, draft: Draft, budget: Budget, other: Draft | None = None) -> None:
        """A round from that draft; other: one of which parts may be taken over."""
        self.pipes[member].send((draft, budget, other))

    def hear(self, seconds: float) -> list[tuple[int, int | Better]]:
        """A bound (grams) or a draft, and whose."""
        heard: list[tuple[int, int | Better]] = []
        for pipe in wait(self.pipes, timeout=seconds):
            assert isinstance(pipe, Connection)
            heard.append((self.pipes.index(pipe), pipe.recv()))
        return heard

    def dismiss(self) -> None:
        for process in self.processes:
            process.kill()
        for process in self.processes:
            process.join()


def _work(seed: int, pipe: Connection) -> None:
    """A climber's life: rounds as they are asked for, until the parent is gone."""
    parent = os.getppid()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the parent's, who dismisses it
    with Path(os.devnull).open("w") as quiet:
        os.dup2(quiet.fileno(), 1)  # solvers greet on standard output
    climber: Climber | None = None
    while os.getppid() == parent:
        if not pipe.poll(0.5):
            continue
        try:
            message = pipe.recv()
        except (EOFError, OSError):
            return
        if isinstance(message, Problem):
            climber = Climber(message, seed)
            continue
        assert climber is not None, "a problem comes first"
        if isinstance(message, ToProve):
            for bound in _proofs(climber, message):
                pipe.send(bound)
            continue
        draft, budget, other = message
        before = climber.steps
        best = climber.round(
            draft, budget, lambda better: pipe.send(Better(better, final=False)), other
        )
        pipe.send(Better(best, final=True, steps=climber.steps - before))


def _proofs(climber: Climber, wanted: ToProve) -> Iterator[int]:
    problem = climber.problem
    most = most_there_is(problem)
    bound = most
    for bound in bounds(problem, lambda: climber.windows.relaxed.master):
        yield bound
    if wanted.at_once and bound < most and taken_at_once(problem):
        yield whole_bound(climber.windows.relaxed.master)
