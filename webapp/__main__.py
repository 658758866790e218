"""Starts the app: python -m webapp."""

import argparse
import errno
import gc
import logging
import signal
import socket
import sys
import webbrowser
from collections.abc import Callable, Sequence
from pathlib import Path

import uvicorn
from starlette.types import ASGIApp

from webapp import trouble
from webapp.app import create_app
from webapp.now import now
from webapp.settings import PORT, Settings, usual_folder
from webapp.store import backup
from webapp.store.check import check, said_plainly
from webapp.store.database import CannotOpen, Damaged, Database

HOST = "127.0.0.1"
LAST_REQUESTS = 5
"""Seconds that a request gets to end when the app is stopped."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Serve the app, make a backup or restore one; return the exit status."""
    typed = _parser().parse_args(arguments)
    settings = Settings(folder=typed.data, demo=typed.demo)
    try:
        match typed.action:
            case "backup":
                return _backup(settings)
            case "restore":
                return _restore(settings, typed.name)
            case _:
                return _serve(settings, typed.port, opens_browser=typed.browser)
    except CannotOpen as error:
        print(f"Benchday cannot {typed.action or 'start'}: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m webapp", description="Benchday, on this machine only.")
    parser.add_argument(
        "--port", type=_port, default=PORT, help="port to listen on (default %(default)s; 0 picks a free one)"
    )
    parser.add_argument(
        "--data",
        type=Path,
        default=usual_folder(),
        metavar="FOLDER",
        help="where the data is kept (default ./%(default)s)",
    )
    parser.add_argument("--demo", action="store_true", help="open an invented demo shop, kept in a file of its own")
    parser.add_argument("--browser", action="store_true", help="open a browser as well")
    actions = parser.add_subparsers(dest="action", metavar="backup | restore")
    actions.add_parser("backup", help="write a checked copy of the data and stop; the app may be running")
    restore = actions.add_parser("restore", help="put a backup in the place of the data and stop")
    restore.add_argument("name", help="file name in the backups folder, or `newest`")
    return parser


def _port(text: str) -> int:
    if text.isascii() and text.isdigit() and int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"“{text}” is not a port. Try {PORT}, or 0 for a free one.")


def _serve(settings: Settings, port: int, *, opens_browser: bool) -> int:
    """Serve until stopped; start again after a restore in trouble mode, on the same address."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s %(levelname)s %(message)s")
    logging.getLogger("alembic").setLevel(logging.WARNING)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    try:
        listener = _listener(port)
    except OSError as error:
        print(_cannot_listen(port, error), file=sys.stderr)
        return 1
    with listener:
        status = None
        while status is None:
            status = _serve_once(settings, listener, opens_browser=opens_browser)
            opens_browser = False
    return status


def _serve_once(settings: Settings, listener: socket.socket, *, opens_browser: bool) -> int | None:
    """Serve until stopped and return the exit status; None to start again, after a restore in trouble mode."""
    is_restored = False

    def restored() -> None:
        nonlocal is_restored
        is_restored = server.should_exit = True

    app = _app(settings, restored)
    server = uvicorn.Server(
        uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=LAST_REQUESTS)
    )
    address = f"http://{HOST}:{listener.getsockname()[1]}"
    print(f"Benchday is at {address}  (data: {settings.file.resolve()}; Ctrl+C stops it)", flush=True)
    if opens_browser:
        webbrowser.open(address)
    gc.collect()
    gc.freeze()  # what starting made stays for good: the collector need not walk through it again and again
    server.run(sockets=[listener.dup()])
    return None if is_restored else 0 if server.started else 1


def _app(settings: Settings, restored: Callable[[], None]) -> ASGIApp:
    """Return the app, or the one that offers the backups when the data is damaged. Raises CannotOpen otherwise."""
    try:
        app = create_app(settings)
    except Damaged as error:
        print(f"{error}\n{_known(settings)}", file=sys.stderr)
        return trouble.create_app(settings, str(error), restored=restored)
    if settings.demo:
        from webapp.demo import fill_when_empty

        fill_when_empty(app.state.database, at=settings.now())
    return app


def _listener(port: int) -> socket.socket:
    """Return a listening socket on loopback, without the delay that a bare socket puts on every reply."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((HOST, port))
        listener.listen(128)
    except OSError:
        listener.close()
        raise
    return listener


def _cannot_listen(port: int, error: OSError) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"Benchday cannot start: port {port} is taken. If that is Benchday, it is at http://{HOST}:{port}; "
            f"otherwise try --port {port + 1 if port < 65535 else 0}, or --port 0 for a free one."
        )
    return f"Benchday cannot listen on port {port}: {error.strerror}. Try --port {PORT}, or --port 0 for a free one."


def _backup(settings: Settings) -> int:
    """Make a backup, whether or not the app is running: it only reads."""
    if not settings.file.exists():
        print(f"There is nothing to back up: {settings.file} is not there.", file=sys.stderr)
        return 1
    check(settings.file)
    with said_plainly(settings.file):
        print(f"Backup written: {backup.make(settings.file, at=now(), why=backup.BY_HAND)}")
    return 0


def _restore(settings: Settings, name: str) -> int:
    """Restore with the app stopped; a damaged file is no obstacle, it is moved aside."""
    found = backup.listed(settings.file)
    wanted = found[0].name if name == "newest" and found else name
    copy = backup.file_of(settings.file, wanted)
    if copy is None:
        print(f"There is no backup named {name} for {settings.file}. {_known(settings)}", file=sys.stderr)
        return 1
    kept = Database.put_back(settings.file, copy, at=now())
    print(f"Restored {copy.name}." + (f" What was there is kept as {kept}." if kept else ""))
    return 0


def _known(settings: Settings) -> str:
    """Return the names of the backups, and how one is restored."""
    if not (found := backup.listed(settings.file)):
        return f"There are no backups in {backup.folder(settings.file)}."
    names = "\n  ".join(one.name for one in found)
    return f"Backups, newest first (python -m webapp --data {settings.folder} restore NAME):\n  {names}"


if __name__ == "__main__":
    sys.exit(main())
