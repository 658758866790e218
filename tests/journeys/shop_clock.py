"""The app served within the test, with a shop at work and a time that the test sets."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import uvicorn
from fastapi.testclient import TestClient

from conftest import Clock
from plan_shop import a_job, done, record, set_up, shop_time
from webapp.app import create_app
from webapp.settings import Settings


@dataclass
class Served:
    """A running app. address: without a slash at its end; clock: its time; client: for the helpers of plan_shop."""

    address: str
    clock: Clock
    client: TestClient


@contextmanager
def served(folder: Path, clock: Clock, *, port: int = 0) -> Iterator[Served]:
    """Start the app in a thread on a free port, hand it out, and stop it."""
    app = create_app(Settings(folder=folder, now=clock))
    server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="error"))
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        while not server.started:
            assert thread.is_alive(), "the server ended before it answered"
            time.sleep(0.02)
        found: int = server.servers[0].sockets[0].getsockname()[1]
        yield Served(f"http://127.0.0.1:{found}", clock, cast(TestClient, SimpleNamespace(app=cast(Any, app))))
    finally:
        server.should_exit = True
        thread.join(timeout=20)


def glueing(shop: Served, *, until: str = "") -> None:
    """Have a top glued up since 09:48, and in clamps for 3 h from a time on that day, or still being glued."""
    set_up(shop.client)
    a_job(shop.client)
    done(shop.client, 1, "p1.mill", "p1.joint", at=shop_time("2026-06-01 09:48"))
    finished = shop_time(f"2026-06-01 {until}") if until else None
    record(shop.client, 1, "p1.glue-up-1", started_at=shop_time("2026-06-01 09:48"), finished_at=finished)
