"""Benchmarks say in words what they measured, below pytest-benchmark's table."""

from collections.abc import Callable
from timeit import repeat

import pytest

SAID = pytest.StashKey[list[str]]()


@pytest.fixture
def say(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Return what takes a line for the summary of the run."""
    said = request.config.stash.setdefault(SAID, [])
    return lambda line: said.append(line)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if said := config.stash.get(SAID, []):
        terminalreporter.section("measured")
        loop = min(repeat("for _ in range(1000): pass", number=100, repeat=50)) * 10_000
        terminalreporter.write_line(f"this machine just now: {loop:.0f} µs for an empty loop of 1,000 turns")
        for line in said:
            terminalreporter.write_line(line)
