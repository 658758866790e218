"""The command: serves on this machine only, says what is in the way, stops cleanly, backs up and restores."""

import asyncio
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import sleep

import httpx
import pytest

from server import CHECKOUT, Server, serving, start
from store_builders import NOW, add_job, ask, damage
from webapp import __main__ as command
from webapp.lan import own_addresses
from webapp.settings import PORT, Settings
from webapp.store import backup
from webapp.store.database import Database

PANTRY = {"name": "Pantry", "client_name": "A. Invented"}


@pytest.fixture(autouse=True)
def _signals() -> Iterator[None]:
    """The command sets what SIGTERM does, for a process of its own."""
    before = signal.getsignal(signal.SIGTERM)
    yield
    signal.signal(signal.SIGTERM, before)


def a_shop(folder: Path, *jobs: str) -> Path:
    """Make a closed data file with these jobs and return it."""
    path = Settings(folder=folder).file
    database = Database(path, at=NOW)
    for name in jobs:
        add_job(database, name)
    database.close()
    return path


def stop(server: Server, how: signal.Signals = signal.SIGTERM) -> int:
    server.process.send_signal(how)
    status = server.process.wait(timeout=20)
    if server.process.stdout:
        server.process.stdout.close()
    return status


def test_it_listens_on_loopback_only_and_answers(tmp_path: Path) -> None:
    with serving(tmp_path) as server, httpx.Client(base_url=server.address) as client:
        port = int(server.address.rpartition(":")[2])
        assert listening_addresses(port) == {"0100007F"}
        assert client.post("/jobs/new", data=PANTRY).status_code == 303


def test_no_reply_waits_for_more_to_send() -> None:
    """Without TCP_NODELAY a second small packet waits about 40 ms for the first to be confirmed."""
    with ThreadPoolExecutor(1) as aside:  # a loop may be running here, if a browser was driven before
        found = aside.submit(lambda: asyncio.run(options_of_a_connection())).result()
    assert found == [1]


async def options_of_a_connection() -> list[int]:
    """Return whether TCP_NODELAY is set where the server writes its replies, on the socket that the command makes."""
    found: list[int] = []

    async def answer(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        found.append(writer.get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
        writer.close()

    with command._listener("127.0.0.1", 0) as listener:
        async with await asyncio.start_server(answer, sock=listener.dup()):
            reader, writer = await asyncio.open_connection(*listener.getsockname())
            assert await reader.read() == b""
            writer.close()
            await writer.wait_closed()
    return found


def test_for_phones_it_listens_at_addresses_of_the_shops_network_too(tmp_path: Path) -> None:
    """A machine in no network says so and does not start; never is there a listener at every address."""
    addresses = own_addresses()
    if not addresses:
        assert command.main(["--lan", "--port", "0", "--data", str(tmp_path)]) == 1
        return
    with serving(tmp_path, "--lan") as server:
        port = int(server.address.rpartition(":")[2])
        assert listening_addresses(port) == {as_listed(one) for one in ("127.0.0.1", *addresses)}
        assert server.process.stdout is not None
        for one in addresses:
            at_lan = f"http://{one}:{port}"
            assert at_lan in server.process.stdout.readline()
            with httpx.Client(base_url=at_lan) as phone:
                assert phone.get("/today").status_code == 403
                assert phone.get("/today", headers={"X-Forwarded-For": "127.0.0.1"}).status_code == 403
        assert httpx.get(f"{server.address}/today", headers={"X-Forwarded-For": one}).status_code == 200


def test_a_header_is_not_believed_even_when_the_environment_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server underneath would take the sender's address from a header of whom this variable names."""
    monkeypatch.setenv("FORWARDED_ALLOW_IPS", "*")
    with serving(tmp_path) as server:
        assert httpx.get(server.address, headers={"X-Forwarded-For": "192.168.1.31"}).status_code == 200


def as_listed(address: str) -> str:
    return socket.inet_aton(address)[::-1].hex().upper()


@pytest.mark.parametrize(
    "address", ["8.8.8.8", "0.0.0.0", "127.0.0.1", "255.255.255.255", "224.0.0.1", "fe80::1", "shop.example", "", "::"]
)
def test_phones_are_let_in_at_private_addresses_only(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        command.main([f"--lan-address={address}"])
    assert caught.value.code == 2
    assert "is not an address of a shop's own network" in capsys.readouterr().err


def test_an_address_that_this_machine_does_not_have_is_said_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Source: RFC 5737, a block that is given to nobody
    arguments = ["--lan-address", "198.51.100.77", "--port", "0", "--data", str(tmp_path / "data")]
    assert command.main(arguments) == 1
    assert "does not have the address 198.51.100.77" in capsys.readouterr().err
    assert not (tmp_path / "data").exists()


def test_without_a_network_it_does_not_start_for_phones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("webapp.__main__.own_addresses", tuple)
    assert command.main(["--lan", "--port", "0", "--data", str(tmp_path / "data")]) == 1
    assert "no address in a shop's own network" in capsys.readouterr().err
    assert not (tmp_path / "data").exists()


def listening_addresses(port: int) -> set[str]:
    """Return the local addresses on which something listens at this port, as /proc/net/tcp writes them."""
    found = set()
    for table in ("tcp", "tcp6"):
        lines = Path(f"/proc/net/{table}").read_text().splitlines()[1:] if Path(f"/proc/net/{table}").exists() else []
        for fields in (line.split() for line in lines):
            address, _, its_port = fields[1].partition(":")
            if int(its_port, 16) == port and fields[3] == "0A":
                found.add(address)
    return found


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_a_clean_stop_leaves_one_whole_file(tmp_path: Path, how: signal.Signals) -> None:
    server = start(tmp_path)
    assert httpx.post(f"{server.address}/jobs/new", data=PANTRY).status_code == 303
    assert stop(server, how) == 0
    assert sorted(file.name for file in tmp_path.iterdir()) == ["backups", "benchday.sqlite", "benchday.sqlite.lock"]
    assert ask(tmp_path / "benchday.sqlite", "SELECT name FROM job") == [("Pantry",)]


def test_a_taken_port_is_said_with_what_would_work_and_nothing_is_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert command.main(["--port", str(port), "--data", str(tmp_path / "data")]) == 1
    said = capsys.readouterr().err
    assert f"port {port} is taken" in said
    assert f"--port {port + 1}" in said
    assert "--port 0" in said
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize("port", ["-1", "65536", "many", "٨٠", ""])
def test_a_port_that_is_none_is_said_so(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        command.main([f"--port={port}"])
    assert caught.value.code == 2
    assert "is not a port" in capsys.readouterr().err


def test_the_usual_port_and_folder_are_told_by_help(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        command.main(["--help"])
    said = capsys.readouterr().out
    assert PORT == 8000
    for words in ("--port", "default 8000", "--data FOLDER", "./data", "--demo", "backup", "restore"):
        assert words in said


def test_the_demo_has_a_file_of_its_own_and_says_so_on_every_page(tmp_path: Path) -> None:
    path = a_shop(tmp_path, "Real")
    with serving(tmp_path, "--demo") as server:
        page = httpx.get(f"{server.address}/").text
        assert "every person, job and price here is invented" in page
        assert "Real" not in page
        httpx.post(f"{server.address}/jobs/new", data=PANTRY)
    assert ask(path, "SELECT name FROM job") == [("Real",)]
    assert len(ask(tmp_path / "demo.sqlite", "SELECT 1 FROM job")) > 1


def test_a_newer_file_ends_the_start_with_both_versions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = a_shop(tmp_path)
    database = Database(path, at=NOW)
    with database.write("x", at=NOW) as db:
        db.connection().exec_driver_sql("UPDATE alembic_version SET version_num = 'of_tomorrow'")
    database.close()
    assert command.main(["--port", "0", "--data", str(tmp_path)]) == 1
    assert "written by a newer Benchday (schema of_tomorrow" in capsys.readouterr().err


def test_a_damaged_file_is_served_as_trouble_told_on_the_command_line_and_restored_from_the_page(
    tmp_path: Path,
) -> None:
    path = a_shop(tmp_path, "Pantry")
    backup.make(path, at=NOW, why=backup.BY_HAND)
    content = damage(path)
    process = subprocess.Popen(
        [sys.executable, "-m", "webapp", "--port", "0", "--data", str(tmp_path)],
        cwd=CHECKOUT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stderr is not None
    with process.stdout, process.stderr:
        found = re.search(r"http://[\d.]+:\d+", process.stdout.readline())
        assert found is not None
        with httpx.Client(base_url=found[0]) as client:
            page = client.get("/")
            assert page.status_code == 503
            assert "is damaged" in page.text
            name = re.search(r'name="name" value="([^"]+)"', page.text)
            assert name is not None
            assert client.post("/restore-in-trouble", data={"name": name[1]}).status_code == 303
            for _ in range(200):
                if client.get("/health").json()["status"] == "ok":
                    break
                sleep(0.05)
            assert "Pantry" in client.get("/").text
        process.terminate()
        assert process.wait(timeout=20) == 0
        said = process.stderr.read()
    assert "is damaged" in said
    assert name[1] in said
    assert "Traceback" not in said
    (kept,) = tmp_path.glob("*-damaged.sqlite")
    assert kept.read_bytes() == content


def test_backup_writes_a_checked_copy_whether_or_not_the_app_runs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with serving(tmp_path) as server:
        httpx.post(f"{server.address}/jobs/new", data=PANTRY)
        assert command.main(["--data", str(tmp_path), "backup"]) == 0
    assert command.main(["--data", str(tmp_path), "backup"]) == 0
    copies = capsys.readouterr().out.splitlines()
    assert len(copies) == 2
    for line in copies:
        copy = Path(line.removeprefix("Backup written: "))
        assert ask(copy, "SELECT name FROM job") == [("Pantry",)]


def test_backup_of_nothing_makes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command.main(["--data", str(tmp_path / "data"), "backup"]) == 1
    assert "nothing to back up" in capsys.readouterr().err
    assert not (tmp_path / "data").exists()


def test_backup_of_a_damaged_file_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    damage(a_shop(tmp_path, "Pantry"))
    assert command.main(["--data", str(tmp_path), "backup"]) == 1
    assert "is damaged" in capsys.readouterr().err


def test_restore_by_name_or_newest_keeps_what_was_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = a_shop(tmp_path, "Pantry")
    copy = backup.make(path, at=NOW, why=backup.BY_HAND)
    a_shop(tmp_path, "Larder")
    assert command.main(["--data", str(tmp_path), "restore", copy.name]) == 0
    assert ask(path, "SELECT name FROM job") == [("Pantry",)]
    assert "is kept as" in capsys.readouterr().out
    assert command.main(["--data", str(tmp_path), "restore", "newest"]) == 0
    assert ask(path, "SELECT name FROM job") == [("Pantry",), ("Larder",)]


def test_restore_of_an_unknown_name_lists_the_known_ones(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = a_shop(tmp_path, "Pantry")
    assert command.main(["--data", str(tmp_path), "restore", "newest"]) == 1
    assert "There are no backups in" in capsys.readouterr().err
    copy = backup.make(path, at=NOW, why=backup.BY_HAND)
    assert command.main(["--data", str(tmp_path), "restore", "../benchday.sqlite"]) == 1
    assert copy.name in capsys.readouterr().err
    assert ask(path, "SELECT name FROM job") == [("Pantry",)]


def test_restore_of_a_file_in_use_says_to_stop_it_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = a_shop(tmp_path, "Pantry")
    backup.make(path, at=NOW, why=backup.BY_HAND)
    database = Database(path, at=NOW)
    assert command.main(["--data", str(tmp_path), "restore", "newest"]) == 1
    assert "Benchday cannot restore" in capsys.readouterr().err
    database.close()
