from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from domain.part import TaskKind
from domain.person import Absence, Person, Skill, away_between, away_words, can_do, stretches_of, unled, week_of

ZONE = ZoneInfo("America/New_York")


def test_without_skills_somebody_does_everything_and_a_helper_leads_nothing() -> None:
    assert Person(1, "One").can_lead(TaskKind.COAT)
    finisher = Person(2, "Two", frozenset({Skill.FINISHING}))
    assert finisher.can_lead(TaskKind.SAND)
    assert not finisher.can_lead(TaskKind.MILL)
    assert finisher.can_lead(TaskKind.OTHER)
    assert not Person(3, "Three", helps_only=True).can_lead(TaskKind.OTHER)


def test_what_somebody_can_do_is_said_in_the_order_of_the_work() -> None:
    assert can_do(Person(1, "One", frozenset({Skill.FINISHING, Skill.MACHINES}))) == "Machines and finishing"
    assert can_do(Person(1, "One")) == "Everything"


def test_a_skill_of_which_there_is_only_a_helper_is_had_by_nobody() -> None:
    bench = Person(1, "One", frozenset({Skill.BENCH, Skill.MACHINES, Skill.INSTALLING}))
    helper = Person(2, "Two", frozenset({Skill.FINISHING}), helps_only=True)
    assert unled([bench, helper]) == (Skill.FINISHING,)
    assert unled([bench, helper, Person(3, "Three")]) == ()
    assert unled([]) == ()


def test_a_week_of_own_hours_is_the_same_as_stretches_and_back() -> None:
    weekly = (((time(13), time(17)), (time(8), time(12))), (), ((time(9), time(10)),), (), (), (), ())
    stretches = stretches_of(weekly)
    assert [(one.id, one.weekday, one.starts) for one in stretches] == [
        (1, 0, time(8)), (2, 0, time(13)), (3, 2, time(9)),
    ]  # fmt: skip
    assert week_of(reversed(stretches)) == (((time(8), time(12)), (time(13), time(17))), *weekly[1:])


def test_a_day_away_is_as_long_as_the_day_when_the_clocks_change() -> None:
    # Source: 15 U.S.C. 260a: clocks in the United States go forward on the second Sunday of March, 2026-03-08.
    starts, ends = away_between(date(2026, 3, 8), date(2026, 3, 8), from_noon=False, until_noon=False, zone=ZONE)
    assert (ends - starts).total_seconds() == 23 * 3600


@pytest.mark.parametrize(
    ("starts", "ends", "words"),
    [
        ((9, 0), (10, 0), "Tue 9 Jun"),
        ((9, 12), (10, 0), "Tue 9 Jun from noon"),
        ((9, 0), (9, 12), "Tue 9 Jun until noon"),
        ((9, 10), (9, 15), "Tue 9 Jun from 10:00 until 15:00"),
        ((9, 0), (12, 0), "Tue 9 Jun to Thu 11 Jun"),
        ((9, 12), (11, 12), "Tue 9 Jun from noon to Thu 11 Jun until noon"),
    ],
)
def test_an_absence_is_said_as_a_person_would(starts: tuple[int, int], ends: tuple[int, int], words: str) -> None:
    begins, over = (datetime(2026, 6, day, hour, tzinfo=ZONE).astimezone(UTC) for day, hour in (starts, ends))
    assert away_words(Absence(1, 1, begins, over), date(2026, 6, 1), ZONE) == words
