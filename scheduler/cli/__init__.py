"""The planning core at the command line."""

from scheduler.cli import bench_command  # noqa: F401 it adds its command to the app
from scheduler.cli.commands import app

__all__ = ["app"]
