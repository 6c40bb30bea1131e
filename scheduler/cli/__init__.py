"""The planning core at the command line."""

from scheduler.cli.commands import app

__all__ = ["app"]
