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
from contextlib import ExitStack
from pathlib import Path

import uvicorn
from starlette.types import ASGIApp

from webapp import trouble
from webapp.app import create_app
from webapp.lan import is_shop_address, own_addresses
from webapp.now import now
from webapp.settings import PORT, Settings, usual_folder
from webapp.store import backup
from webapp.store.check import check, said_plainly
from webapp.store.database import CannotOpen, Damaged, Database

HOST = "127.0.0.1"
NO_NETWORK = (
    "Benchday cannot start with --lan: this machine has no address in a shop's own network now. "
    "Connect it, or name the address with --lan-address; without --lan it answers on this machine only."
)
LAST_REQUESTS = 5
"""Seconds that a request gets to end when the app is stopped."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Serve the app, make a backup or restore one; return the exit status."""
    typed = _parser().parse_args(arguments)
    lan = tuple(dict.fromkeys(typed.lan_address or (own_addresses() if typed.lan else ())))
    if typed.lan and not lan:
        print(NO_NETWORK, file=sys.stderr)
        return 1
    settings = Settings(folder=typed.data, demo=typed.demo, lan=lan)
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
    parser = argparse.ArgumentParser(prog="python -m webapp", description="Benchday, on this machine only unless told.")
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
    parser.add_argument("--lan", action="store_true", help="let phones in over the shop's own network as well")
    parser.add_argument(
        "--lan-address",
        type=_lan_address,
        action="append",
        metavar="ADDRESS",
        help="the same, at this address of this machine only (may be given again for another)",
    )
    actions = parser.add_subparsers(dest="action", metavar="backup | restore")
    actions.add_parser("backup", help="write a checked copy of the data and stop; the app may be running")
    restore = actions.add_parser("restore", help="put a backup in the place of the data and stop")
    restore.add_argument("name", help="file name in the backups folder, or `newest`")
    return parser


def _port(text: str) -> int:
    if text.isascii() and text.isdigit() and int(text) <= 65535:
        return int(text)
    raise argparse.ArgumentTypeError(f"“{text}” is not a port. Try {PORT}, or 0 for a free one.")


def _lan_address(text: str) -> str:
    if is_shop_address(text):
        return text
    raise argparse.ArgumentTypeError(
        f"“{text}” is not an address of a shop's own network. Try one such as 192.168.1.20 or 10.0.0.5."
    )


def _serve(settings: Settings, port: int, *, opens_browser: bool) -> int:
    """Serve until stopped; start again after a restore in trouble mode, on the same address."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s %(levelname)s %(message)s")
    logging.getLogger("alembic").setLevel(logging.WARNING)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    with ExitStack() as stack:
        listeners: list[socket.socket] = []
        for host in (HOST, *settings.lan):
            try:
                listeners.append(stack.enter_context(_listener(host, port)))
            except OSError as error:
                print(_cannot_listen(host, port, error), file=sys.stderr)
                return 1
            port = listeners[0].getsockname()[1]
        status = None
        while status is None:
            status = _serve_once(settings, listeners, opens_browser=opens_browser)
            opens_browser = False
    return status


def _serve_once(settings: Settings, listeners: list[socket.socket], *, opens_browser: bool) -> int | None:
    """Serve until stopped and return the exit status; None to start again, after a restore in trouble mode."""
    is_restored = False

    def restored() -> None:
        nonlocal is_restored
        is_restored = server.should_exit = True

    app = _app(settings, restored)
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            log_level="warning",
            server_header=False,
            proxy_headers=False,  # who asks is who is connected, whatever a header or the environment says
            timeout_graceful_shutdown=LAST_REQUESTS,
        )
    )
    address, *for_phones = ("http://{}:{}".format(*one.getsockname()) for one in listeners)
    print(f"Benchday is at {address}  (data: {settings.file.resolve()}; Ctrl+C stops it)", flush=True)
    for one in for_phones:
        print(
            f"For phones in the shop's own network: {one}  (let each in once, at Shop, Phones; plain http)", flush=True
        )
    if opens_browser:
        webbrowser.open(address)
    gc.collect()
    gc.freeze()  # what starting made stays for good: the collector need not walk through it again and again
    server.run(sockets=[listener.dup() for listener in listeners])
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


def _listener(host: str, port: int) -> socket.socket:
    """Return a listening socket at one address, without the delay that a bare socket puts on every reply."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host, port))
        listener.listen(128)
    except OSError:
        listener.close()
        raise
    return listener


def _cannot_listen(host: str, port: int, error: OSError) -> str:
    if error.errno == errno.EADDRNOTAVAIL:
        found = " or ".join(own_addresses()) or "none: it is in no network"
        return f"Benchday cannot start: this machine does not have the address {host} now. It has {found}."
    if error.errno == errno.EADDRINUSE:
        return (
            f"Benchday cannot start: port {port} is taken. If that is Benchday, it is at http://{host}:{port}; "
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
