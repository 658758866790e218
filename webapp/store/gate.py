"""Many use the database at once; one who replaces the file is alone with it."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition


class Busy(Exception):
    """Others did not leave in time."""


class Gate:
    """Lets many in together, or one alone once they have left."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._inside = 0
        self._one_is_alone = False

    @contextmanager
    def shared(self) -> Iterator[None]:
        """Be inside with others; wait while one is alone. May be nested, since one alone waits until all have left."""
        with self._changed:
            self._changed.wait_for(lambda: not self._one_is_alone)
            self._inside += 1
        try:
            yield
        finally:
            with self._changed:
                self._inside -= 1
                self._changed.notify_all()

    @contextmanager
    def alone(self, *, seconds: float) -> Iterator[None]:
        """Be inside alone. Raises Busy when that takes longer."""
        with self._changed:
            if not self._changed.wait_for(lambda: not (self._inside or self._one_is_alone), seconds):
                raise Busy
            self._one_is_alone = True
        try:
            yield
        finally:
            with self._changed:
                self._one_is_alone = False
                self._changed.notify_all()
