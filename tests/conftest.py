"""In CI the invented examples are the same on every run; by hand they are new each time."""

import os

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("repeatable")
