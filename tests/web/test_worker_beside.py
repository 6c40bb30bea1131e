"""serve brings a worker of its own, which goes when serve has gone."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from api.settings import DATABASE_URL
from scheduler.scenario import load
from tests.api.lay_outs import asked_for, seen, shelf_with
from tests.api.workers import once

AUGUST = load("august")


def test_the_worker_beside_hands_back_when_serve_is_killed(tmp_path: Path):
    with shelf_with("august", tmp_path, "own") as (shelf, url):
        job = asked_for(shelf, AUGUST.week, seconds=600)
        command = [sys.executable, "-m", "web", "serve", "--port", "8460"]
        serving = subprocess.Popen(
            command,
            env={**os.environ, DATABASE_URL: url},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            once(lambda: seen(shelf, job.number).worth_g is not None)
        finally:
            serving.kill()
            serving.wait()
        once(lambda: seen(shelf, job.number).state == "asked")
