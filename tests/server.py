"""A real server process on a free port, for tests that need a browser, kills or plain sockets."""

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

CHECKOUT = Path(__file__).parent.parent


@dataclass
class Server:
    """A running app. address: without a slash at its end; folder: its data."""

    process: "subprocess.Popen[str]"
    address: str
    folder: Path


def start(folder: Path, *options: str) -> Server:
    """Start the app on a free port and return it once it answers. Raises RuntimeError with what it said instead."""
    command = [sys.executable, "-m", "webapp", "--port", "0", "--data", str(folder), *options]
    process = subprocess.Popen(command, cwd=CHECKOUT, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    for line in process.stdout:
        if found := re.search(r"http://[\d.]+:\d+", line):
            return Server(process, found[0], folder)
    raise RuntimeError(f"the server ended with status {process.wait()}")


@contextmanager
def serving(folder: Path, *options: str) -> Iterator[Server]:
    """Start the app, hand it out, and stop it as a person would."""
    server = start(folder, *options)
    try:
        yield server
    finally:
        server.process.terminate()
        server.process.wait(timeout=20)
        if server.process.stdout:
            server.process.stdout.close()
