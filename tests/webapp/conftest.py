"""The demo shop, one for the tests of a file."""

from collections.abc import Iterator

import pytest

from demo_forms import Demo, demo_shop


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    with demo_shop(tmp_path_factory.mktemp("demo")) as demo:
        yield demo
