"""A wait between two tasks in words, as it stands beside the other task's name."""

from domain.task import Clock, End, Link
from domain.when import span


def link_words(link: Link) -> str:
    """Return how long a task waits, and for which end: `then at least 12 h`, `begins once it has begun`.

    Empty when it may follow at once and at any time later, as most do.
    """
    limits = [
        f"at {word} {span(duration)}"
        for word, duration in (("least", link.at_least or None), ("most", link.at_most))
        if duration is not None
    ]
    times = " and ".join(limits) + (" of shop hours" if limits and link.clock is Clock.ATTENDED else "")
    if (link.leaves, link.reaches) == (End.FINISH, End.START):
        return f"then {times}" if times else ""
    reaches = "begins" if link.reaches is End.START else "is finished"
    leaves = "has begun" if link.leaves is End.START else "is finished"
    return f"{reaches} {times} after it {leaves}" if times else f"{reaches} once it {leaves}"
