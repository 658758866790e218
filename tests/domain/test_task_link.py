from datetime import timedelta

import pytest

from domain.task import Clock, End, Link
from domain.task_link import link_words

HOUR = timedelta(hours=1)


@pytest.mark.parametrize(
    ("link", "words"),
    [
        (Link("a"), ""),
        (Link("a", 12 * HOUR), "then at least 12 h"),
        (Link("a", HOUR, 5 * HOUR), "then at least 1 h and at most 5 h"),
        (Link("a", at_most=timedelta()), "then at most 0 min"),
        (Link("a", HOUR, clock=Clock.ATTENDED), "then at least 1 h of shop hours"),
        (Link("a", leaves=End.START), "begins once it has begun"),
        (Link("a", reaches=End.FINISH), "is finished once it is finished"),
        (Link("a", HOUR, 2 * HOUR, leaves=End.START), "begins at least 1 h and at most 2 h after it has begun"),
    ],
)
def test_a_wait_is_said_by_its_ends_and_its_clock(link: Link, words: str) -> None:
    assert link_words(link) == words
