"""Many use the database at once; one who replaces the file is alone with it."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition, local


class Busy(Exception):
    """Others did not leave in time."""


class Gate:
    """Lets many in together, or one alone once they have left."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._inside = 0
        self._wants_alone = 0
        self._one_is_alone = False
        self._mine = local()

    @contextmanager
    def shared(self) -> Iterator[None]:
        """Be inside with others; wait while one is alone or wants to be. A thread that is inside may enter again."""
        depth = getattr(self._mine, "depth", 0)
        with self._changed:
            self._changed.wait_for(lambda: depth or not (self._one_is_alone or self._wants_alone))
            self._inside += 1
        self._mine.depth = depth + 1
        try:
            yield
        finally:
            self._mine.depth = depth
            with self._changed:
                self._inside -= 1
                self._changed.notify_all()

    @contextmanager
    def alone(self, *, seconds: float) -> Iterator[None]:
        """Be inside alone; nobody new comes in meanwhile. Raises Busy when those inside do not leave in time."""
        with self._changed:
            self._wants_alone += 1
            is_free = self._changed.wait_for(lambda: not (self._inside or self._one_is_alone), seconds)
            self._wants_alone -= 1
            self._one_is_alone = is_free or self._one_is_alone
            self._changed.notify_all()
        if not is_free:
            raise Busy
        try:
            yield
        finally:
            with self._changed:
                self._one_is_alone = False
                self._changed.notify_all()
