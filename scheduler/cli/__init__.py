"""The planning core at the command line."""

from scheduler.cli import (  # noqa: F401 they add their commands
    bench_command,
    re_lay_command,
    shake_command,
)
from scheduler.cli.commands import app

__all__ = ["app"]
