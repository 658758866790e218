"""How much memory the real server takes after 1,000 page loads over every kind of page. Target: under 200 MB.

Run with: pytest tests/benchmarks/test_memory.py --benchmark-only
"""

import re
from itertools import cycle, islice
from pathlib import Path

import httpx
import pytest

from benchmarks.big_shop import IN_HAND
from benchmarks.pages import kinds_of_page
from server import serving

LOADS = 1000
TARGET = 200
"""Megabytes of 1,000,000 bytes."""


def resident(process: int) -> float:
    """Return the memory of a process that lies in RAM [MB]: VmRSS, as Linux counts it."""
    status = Path(f"/proc/{process}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found
    return int(found[1]) * 1024 / 1e6


def load(client: httpx.Client, paths: tuple[str, ...]) -> int:
    """Load pages by turns, so many altogether; return how many bytes came."""
    return sum(len(client.get(path).raise_for_status().content) for path in islice(cycle(paths), LOADS))


@pytest.mark.benchmark(group=f"{LOADS} page loads from the real server")
def test_memory_after_many_page_loads(benchmark, tmp_path, say):
    options = {"timeout": 60, "follow_redirects": True}
    with serving(tmp_path, "--demo") as server, httpx.Client(base_url=server.address, **options) as client:
        at_start = resident(server.process.pid)
        paths = kinds_of_page(client.get, f"/jobs/{IN_HAND}", f"/jobs/{IN_HAND}/pieces", "/")
        assert benchmark.pedantic(load, (client, paths), rounds=1) > 0
        then = resident(server.process.pid)
    benchmark.extra_info |= {"MB at start": round(at_start), "MB after": round(then), "target MB": TARGET}
    say(
        f"memory after {LOADS:,} loads of {len(paths)} kinds of page: {then:.0f} MB, {at_start:.0f} MB at start; "
        f"target {TARGET} MB"
    )
