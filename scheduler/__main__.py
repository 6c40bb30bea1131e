"""python -m scheduler: the planning core without service and pages."""

from scheduler.cli import app

app(prog_name="python -m scheduler")
