"""Who may know whom: the contracts of pyproject.toml, and what they cannot say."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CLOCKS = {"now", "today", "utcnow", "time", "monotonic", "time_ns", "localtime", "gmtime"}


def test_the_contracts_are_kept() -> None:
    linter = [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"]
    done = subprocess.run([*linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[done.stdout.find("Broken contracts") :] + done.stderr
    assert "6 kept, 0 broken" in done.stdout


def modules(*folders: str) -> Iterator[tuple[Path, ast.Module]]:
    for folder in folders:
        for file in (ROOT / folder).rglob("*.py"):
            yield file, ast.parse(file.read_text())


def imported(tree: ast.Module) -> Iterator[str]:
    """Return the top name of everything a module imports, inside functions too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield (node.module or "").partition(".")[0]


def test_domain_needs_nothing_but_python_itself_and_in_one_module_the_solver() -> None:
    foreign = {
        f"{file.name}: {name}"
        for file, tree in modules("domain")
        for name in imported(tree)
        if name != "domain" and name not in sys.stdlib_module_names
    }
    assert foreign == {"choose.py: ortools", "possible.py: ortools", "prove.py: ortools", "holiday.py: holidays"}


def test_only_one_place_reads_the_time() -> None:
    readers = {
        file.relative_to(ROOT).as_posix()
        for file, tree in modules("domain", "webapp")
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CLOCKS
        and ast.unparse(node.func.value) in ("datetime", "date", "time", "datetime.datetime", "datetime.date")
    }  # fmt: skip
    assert readers == {"webapp/now.py"}


@pytest.mark.parametrize("folder", ["domain", "webapp", "migrations"])
def test_nothing_shipped_imports_a_tool_of_the_tests(folder: str) -> None:
    tools = {"pytest", "hypothesis", "httpx", "httpx2", "selectolax", "playwright", "networkx", "pint", "jsonschema"}
    users = {f"{file.name}: {name}" for file, tree in modules(folder) for name in imported(tree) if name in tools}
    assert users == set()


def test_a_migration_carries_its_own_tables() -> None:
    for file, tree in modules("migrations/versions"):
        assert not {"webapp", "domain", "sqlmodel"} & set(imported(tree)), file.name
