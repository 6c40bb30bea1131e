"""The planning core at the command line."""

from scheduler.cli import bench_command, re_lay_command  # noqa: F401 they add their commands
from scheduler.cli.commands import app

__all__ = ["app"]
