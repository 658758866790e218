"""Starts the app: python -m webapp."""

import argparse
import logging
import socket
import sys
import webbrowser
from collections.abc import Sequence
from pathlib import Path

import uvicorn

from webapp.app import create_app
from webapp.now import now
from webapp.settings import PORT, Settings, usual_folder
from webapp.store import backup
from webapp.store.database import CannotOpen, Database

HOST = "127.0.0.1"


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
        print(f"Benchday cannot start: {error}", file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m webapp", description="Benchday, on this machine only.")
    parser.add_argument(
        "--port", type=int, default=PORT, help="port to listen on (default %(default)s; 0 picks a free one)"
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
    actions.add_parser("backup", help="write a checked copy of the data and stop")
    restore = actions.add_parser("restore", help="put a backup in the place of the data and stop")
    restore.add_argument("name", help="file name in the backups folder, or `newest`")
    return parser


def _serve(settings: Settings, port: int, *, opens_browser: bool) -> int:
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s %(levelname)s %(message)s")
    logging.getLogger("alembic").setLevel(logging.WARNING)
    try:
        listener = _listener(port)
    except OSError as error:
        print(
            f"Benchday cannot listen on port {port}: {error.strerror}. Try --port 0 for a free one.",
            file=sys.stderr,
        )
        return 1
    with listener:
        app = create_app(settings)
        if settings.demo:
            from webapp.demo import fill_when_empty

            fill_when_empty(app.state.database, at=settings.now())
        address = f"http://{HOST}:{listener.getsockname()[1]}"
        print(f"Benchday is at {address}  (data: {settings.file.resolve()}; Ctrl+C stops it)", flush=True)
        if opens_browser:
            webbrowser.open(address)
        uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False)).run(sockets=[listener])
    return 0


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


def _backup(settings: Settings) -> int:
    database = Database(settings.file, at=now())
    try:
        print(f"Backup written: {backup.make(settings.file, at=now(), why='by-hand')}")
    finally:
        database.close()
    return 0


def _restore(settings: Settings, name: str) -> int:
    """Restore with the app stopped; a damaged file is no obstacle, it is moved aside."""
    found = backup.listed(settings.file)
    wanted = found[0].name if name == "newest" and found else name
    copy = backup.file_of(settings.file, wanted)
    if copy is None:
        known = "\n  ".join(one.name for one in found) or "none"
        print(f"There is no backup named {name} for {settings.file}. Backups:\n  {known}", file=sys.stderr)
        return 1
    aside = Database.put_back(settings.file, copy, at=now())
    print(f"Restored {copy.name}. The file that was there is kept as {aside.name}.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
