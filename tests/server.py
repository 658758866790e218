"""A real server process on a free port, for tests that need a browser, kills or plain sockets."""

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any, Protocol

CHECKOUT = Path(__file__).parent.parent


class Process(Protocol):
    """What tests do with a process; subprocess.Popen is one."""

    stdout: IO[str] | None

    def wait(self, timeout: float | None = None) -> int: ...
    def send_signal(self, sig: int) -> None: ...
    def terminate(self) -> None: ...
    def kill(self) -> None: ...


@dataclass
class Server:
    """A running app. address: without a slash at its end; folder: its data."""

    process: Process
    address: str
    folder: Path


class Forked:
    """A process that was forked by the one that has everything imported."""

    def __init__(self, arguments: list[str]) -> None:
        self._status: int | None = None
        with TemporaryDirectory() as folder:
            out = f"{folder}/out"
            os.mkfifo(out)
            self._id = _ask(start=arguments, out=out)
            self.stdout: IO[str] | None = open(out)  # noqa: SIM115

    def wait(self, timeout: float | None = None) -> int:
        if self._status is None:
            self._status = _ask(wait=self._id, seconds=60 if timeout is None else timeout)
        if self._status is None:
            raise subprocess.TimeoutExpired("webapp", timeout or 60)
        return self._status

    def send_signal(self, sig: int) -> None:
        if self._status is None:
            os.kill(self._id, sig)

    def terminate(self) -> None:
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)


@cache
def _ready() -> "subprocess.Popen[str]":
    """Return the process that has everything imported. It ends with this one, whose pipe it reads."""
    command = [sys.executable, str(CHECKOUT / "tests" / "ready.py")]
    environment = os.environ | {"PYTHONPATH": str(CHECKOUT)}
    return subprocess.Popen(
        command, cwd=CHECKOUT, env=environment, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )


def _ask(**question: Any) -> Any:
    ready = _ready()
    assert ready.stdin is not None
    assert ready.stdout is not None
    print(json.dumps(question), file=ready.stdin, flush=True)
    answer = ready.stdout.readline()
    assert answer, f"the process that forks servers ended with status {ready.wait()}"
    return json.loads(answer)


def start(folder: Path, *options: str, ready: bool = False) -> Server:
    """Start the app on a free port and return it once it answers. Raises RuntimeError with what it said instead.

    ready: forked where everything is imported already, which is quicker; otherwise by the command people type.
    """
    arguments = ["--port", "0", "--data", str(folder), *options]
    command = [sys.executable, "-m", "webapp", *arguments]
    process: Process = (
        Forked(arguments) if ready else subprocess.Popen(command, cwd=CHECKOUT, stdout=subprocess.PIPE, text=True)
    )
    assert process.stdout is not None
    for line in process.stdout:
        if found := re.search(r"http://[\d.]+:\d+", line):
            return Server(process, found[0], folder)
    raise RuntimeError(f"the server ended with status {process.wait()}")


@contextmanager
def serving(folder: Path, *options: str, ready: bool = False) -> Iterator[Server]:
    """Start the app, hand it out, and stop it as a person would."""
    server = start(folder, *options, ready=ready)
    try:
        yield server
    finally:
        server.process.terminate()
        server.process.wait(timeout=60)
        if server.process.stdout:
            server.process.stdout.close()
