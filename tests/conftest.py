"""In CI the invented examples are the same on every run; by hand they are new each time.

Tests that could reach a database are marked `store`, and the others can open none.
"""

import os

import pytest
from hypothesis import settings

from tests.reach import could_reach_a_store, refuse_stores

settings.register_profile("new", deadline=None)  # no test is a stop-watch
settings.register_profile("repeatable", settings.get_profile("new"), derandomize=True)
settings.load_profile("repeatable" if os.environ.get("CI") else "new")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    reaching = {file: could_reach_a_store(file) for file in {item.path for item in items}}
    for item in items:
        if reaching[item.path]:
            item.add_marker(pytest.mark.store)


@pytest.fixture(autouse=True)
def no_store_by_surprise(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.node.get_closest_marker("store") is None:
        refuse_stores(monkeypatch)
