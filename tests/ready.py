"""A process that has everything imported and forks a server when told: most of what a start costs is the import.

What it forks is a process of its own that runs the command as `python -m webapp` does, and that can be killed. Talks in
lines of JSON: {"start": [arguments], "out": path} is answered with the process id, {"wait": id, "seconds": n} with what
the process ended with, or null when it has not ended by then. It ends with its standard input.
"""

import json
import os
import sys
import time

from webapp.__main__ import main


def begun(arguments: list[str], out: str) -> int:
    """Fork a process that runs the command and writes what it says to a pipe; return its id."""
    if child := os.fork():
        return child
    status = 1
    try:
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.dup2(os.open(out, os.O_WRONLY), 1)
        status = main(arguments)
    except SystemExit as ended:
        status = ended.code if isinstance(ended.code, int) else 1
    finally:
        sys.stdout.flush()
        os._exit(status)


def ended(process: int, seconds: float) -> int | None:
    """Return what a process ended with, less than 0 for a signal; None when it still runs after so long."""
    until = time.monotonic() + seconds
    while True:
        found, status = os.waitpid(process, os.WNOHANG)
        if found:
            return os.waitstatus_to_exitcode(status)
        if time.monotonic() > until:
            return None
        time.sleep(0.01)


if __name__ == "__main__":
    for line in sys.stdin:
        match json.loads(line):
            case {"start": arguments, "out": out}:
                said: int | None = begun(arguments, out)
            case {"wait": process, "seconds": seconds}:
                said = ended(process, seconds)
        print(json.dumps(said), flush=True)
