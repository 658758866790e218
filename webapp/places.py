"""Where templates, static files and migrations are: in the installed package, else beside it in the checkout."""

from pathlib import Path

_PACKAGE = Path(__file__).parent


def _place(name: str) -> Path:
    packed = _PACKAGE / f"_{name}"
    return packed if packed.is_dir() else _PACKAGE.parent / name


TEMPLATES, STATIC, MIGRATIONS = _place("templates"), _place("static"), _place("migrations")
