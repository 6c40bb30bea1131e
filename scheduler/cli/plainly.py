"""Errors told on one line each, with what to do, and the exit codes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import typer
from rich.console import Console

from scheduler.errors import BadInput, BrokenPromise, CommonrackError

FINE, BREAKS_A_RULE, BAD_INPUT, OUR_MISTAKE = 0, 1, 2, 3
EXIT_CODES = (
    "Exit codes: 0 fine; 1 the plan breaks a rule; 2 what was handed in cannot be used; "
    "3 Commonrack contradicted itself, please report it."
)


@contextmanager
def plainly() -> Iterator[None]:
    """What goes wrong inside is told on standard error, and ends the command with its code."""
    try:
        yield
    except BadInput as error:
        for fault in error.faults:
            tell(str(fault))
        raise typer.Exit(BAD_INPUT) from error
    except BrokenPromise as error:
        tell(f"this should not happen, please report it: {error}")
        raise typer.Exit(OUR_MISTAKE) from error
    except (CommonrackError, OSError) as error:
        tell(str(error))
        raise typer.Exit(BAD_INPUT) from error


def tell(message: str) -> None:
    """One line on standard error."""
    line = f"commonrack: {message}"
    Console(stderr=True, soft_wrap=True).print(line, markup=False, highlight=False)
