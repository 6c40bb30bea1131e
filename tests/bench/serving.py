"""A served book that is killed and comes back on the same port."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import httpx

from api.settings import DATABASE_URL
from tests.web.test_served_week import free_port

SOON_S = 60.0


class Served:
    """`commonrack serve` as a process of its own, without a worker beside it."""

    def __init__(self, url: str, log: Path) -> None:
        self.environment = {**os.environ, DATABASE_URL: url}
        self.log = log
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.process = self._begin()
        self.wait()

    def kill(self) -> None:
        """SIGKILL: nothing is finished, nothing is tidied up."""
        self.process.kill()
        self.process.wait()

    def again(self) -> None:
        """Begins on the same port; it is not waited for."""
        self.process = self._begin()

    def wait(self) -> None:
        """Until it is ready."""
        until = time.monotonic() + SOON_S
        while time.monotonic() < until:
            self.must_live()
            try:
                if httpx.get(f"{self.address}/ready", timeout=5).is_success:
                    return
            except httpx.TransportError:
                time.sleep(0.05)
        raise AssertionError("it did not come back")

    def must_live(self) -> None:
        """It is not to end of itself."""
        assert self.process.poll() is None, self.log.read_text()[-2_000:]

    def _begin(self) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "web", "serve", "--no-worker", "--port", str(self.port)]
        with self.log.open("ab") as log:
            return subprocess.Popen(
                command, env=self.environment, stdout=subprocess.DEVNULL, stderr=log
            )
