"""Where the data is and which hosts the app answers to."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from webapp.now import now

LOOPBACK = ("127.0.0.1", "localhost", "[::1]", "::1")
PORT = 8000


def usual_folder() -> Path:
    """Return where the shop's data is kept when nobody says otherwise: `data` in the current folder."""
    return Path("data")


@dataclass(frozen=True)
class Settings:
    """demo: open the demo's own file beside the real one; now: hands the time in, so tests can set it.

    lan: addresses of this machine on the shop's own network at which phones may ask; none unless the maker says so.
    """

    folder: Path = field(default_factory=usual_folder)
    demo: bool = False
    hosts: tuple[str, ...] = LOOPBACK
    lan: tuple[str, ...] = ()
    now: Callable[[], datetime] = now

    @property
    def answers_to(self) -> list[str]:
        """The names a request may ask for; another may be a page of elsewhere that points its name here."""
        return [*self.hosts, *self.lan]

    @property
    def file(self) -> Path:
        return self.folder / ("demo.sqlite" if self.demo else "benchday.sqlite")
