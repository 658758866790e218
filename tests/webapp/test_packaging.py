"""The wheel holds everything: installed away from the checkout it serves a page and the vendored script."""

import re
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from server import CHECKOUT

BIN = "Scripts" if sys.platform == "win32" else "bin"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh environment with the wheel in it; what it depends on is borrowed from the one that runs the tests."""
    place = tmp_path_factory.mktemp("installed")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    run([*pip, "wheel", "-q", "--no-index", "--no-deps", "--no-build-isolation", "-w", str(place), str(CHECKOUT)])
    (wheel,) = place.glob("*.whl")
    venv.create(place / "venv", with_pip=False, symlinks=True)
    python = place / "venv" / BIN / "python"
    run([*pip, "--python", str(python), "install", "-q", "--no-index", "--no-deps", "--no-compile", str(wheel)])
    (own,) = (place / "venv").glob("lib/python*/site-packages")
    borrowed = sysconfig.get_path("purelib")  # as a plain path: the .pth in there, the checkout's, is not read
    (own / "borrowed.pth").write_text(borrowed)
    return place


def run(command: list[str], **options: object) -> str:
    done = subprocess.run(command, capture_output=True, text=True, **options)  # type: ignore[call-overload]
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return str(done.stdout)


@contextmanager
def served(place: Path) -> Iterator[str]:
    """Serve from the environment, in a folder of its own, and give the address."""
    command = [str(place / "venv" / BIN / "python"), "-m", "webapp", "--port", "0", "--data", "data"]
    process = subprocess.Popen(command, cwd=place, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    with process.stdout:
        found = re.search(r"http://[\d.]+:\d+", process.stdout.readline())
        assert found is not None
        yield found[0]
        process.terminate()
        assert process.wait(timeout=20) == 0


def test_the_installed_app_is_not_the_checkout(installed: Path) -> None:
    where = run(
        [
            str(installed / "venv" / BIN / "python"),
            "-c",
            "import webapp, domain; print(webapp.__file__, domain.__file__)",
        ],
        cwd=installed,
    )
    assert [Path(file).is_relative_to(installed) for file in where.split()] == [True, True]


def test_the_installed_app_serves_pages_scripts_and_saves(installed: Path) -> None:
    with served(installed) as address, httpx.Client(base_url=address) as client:
        page = client.get("/")
        assert page.status_code == 200
        linked = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page.text))
        assert any("vendor/htmx-" in link for link in linked)
        for link in linked:
            reply = client.get(link)
            assert reply.status_code == 200, link
            assert reply.content, link
        added = client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
        assert added.status_code == 303
        assert client.get("/health").json()["status"] == "ok"


def test_the_command_of_that_name_works_too(installed: Path) -> None:
    said = run([str(installed / "venv" / BIN / "benchday"), "--data", "data", "backup"], cwd=installed)
    assert "Backup written" in said


def test_the_wheel_holds_every_template_static_file_and_migration_and_no_test(installed: Path) -> None:
    (package,) = (installed / "venv").glob("lib/python*/site-packages/webapp")
    for folder in ("templates", "static", "migrations"):
        assert files(package / f"_{folder}") == files(CHECKOUT / folder)
    assert not list(package.parent.glob("test*"))
    assert not list(package.parent.glob("conftest*"))


def files(folder: Path) -> set[str]:
    found = (file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())
    return {name for name in found if "__pycache__" not in name}
